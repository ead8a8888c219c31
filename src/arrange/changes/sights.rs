//! What every part has to know of what lies ahead of it, and for which of the times it is played.
//!
//! What a chord takes depends on the next different chord the *first* time it is played. If the part
//! after it doesn't count as different, it sees what that one sees, and sees it this time round: where
//! the page comes round, that is not what it saw the first time. In `|: G7 | G7 :| C |` the second
//! G7 looks past the first, on its second time, and past itself, to C.
//!
//! So a part has a [`Sight`] for each time that somebody looks past it; most have only their own. What
//! a sight shows is known from the part that comes then and from one sight of that, further on in
//! the performance, so that nothing is ever taken to be seen only because it is taken to be seen.

use std::collections::{BTreeMap, BTreeSet};

use super::parts::{Page, Part};
use super::walk::{Onward, Walk};
use crate::chord::Chord;
use crate::harmony::{Past, Place, place};
use crate::pitch::Key;

/// What every part has to know of what lies ahead.
pub(super) struct Sights<'a> {
    all: Vec<Sight<'a>>,
    /// For each part its sights, that of its own chord first.
    of: Vec<Vec<usize>>,
    /// Whether nothing was left out: see [`Rounds::First`].
    pub exact: bool,
}

/// How far sights go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rounds {
    /// Wherever they lead.
    All,
    /// Nothing is seen beyond a part that was played before: each part has only its own sight.
    First,
}

/// What is seen from a part, one of the times it is played.
#[derive(Debug)]
pub(super) struct Sight<'a> {
    part: usize,
    time: usize,
    past: Past,
    /// The moment the part goes on to.
    pub to: Option<usize>,
    seen: Vec<Seen<'a>>,
    /// The chords, with their keys, whose place depends on this.
    lookers: Vec<(&'a Chord, Option<Key>)>,
    /// What may be seen. What gives every looker the same place is the same.
    values: Vec<Value<'a>>,
}

/// What is seen if this part comes next; no part at the end.
#[derive(Debug)]
struct Seen<'a> {
    next: Option<usize>,
    what: What<'a>,
    /// The value it is, or for each value of the sight looked through the value it is here.
    values: Vec<usize>,
}

#[derive(Debug, Clone, Copy)]
enum What<'a> {
    /// This chord is the next different one.
    Stops(Option<&'a Chord>),
    /// What the next part sees, by the place of that sight among its own.
    Passes(usize),
}

#[derive(Debug)]
struct Value<'a> {
    chord: Option<&'a Chord>,
    places: Vec<Place>,
}

impl<'a> Sights<'a> {
    pub fn of(page: &'a Page<'a>, walk: &Walk, rounds: Rounds) -> Self {
        let mut draft = Draft {
            page,
            walk,
            rounds,
            sights: Self {
                all: Vec::new(),
                of: vec![Vec::new(); page.parts.len()],
                exact: true,
            },
            known: BTreeMap::new(),
        };
        draft.open_all();
        let order = draft.from_the_end();
        for &sight in order.iter().rev() {
            draft.sights.hand_on_lookers(sight);
        }
        for sight in order {
            draft.sights.find_values(sight);
        }
        draft.sights
    }

    /// Whether a part has more sights than its own.
    pub fn further(&self) -> bool {
        self.all.len() > self.of.len()
    }

    /// For each moment, from which others somebody looks at it.
    pub fn ways(&self, page: &Page<'_>) -> BTreeMap<usize, BTreeSet<usize>> {
        let mut ways: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
        for sight in &self.all {
            let part = page.parts.get(sight.part);
            let last = part.and_then(|part| part.moments.end.checked_sub(1));
            if let (Some(from), Some(to)) = (last, sight.to) {
                ways.entry(to).or_default().insert(from);
            }
        }
        ways
    }

    /// The sights of a part, its own first.
    pub fn of_part(&self, part: usize) -> impl Iterator<Item = &Sight<'a>> {
        let of = self.of.get(part).into_iter().flatten();
        of.filter_map(|&sight| self.all.get(sight))
    }

    /// The chord that decides a part's place, if the first of its sights shows this value.
    pub fn chord(&self, part: usize, value: usize) -> Option<&'a Chord> {
        let own = self.of_part(part).next()?;
        own.values.get(value)?.chord
    }

    /// Which of a part's sights lead to this moment, or to the end.
    pub fn leading(&self, part: usize, to: Option<usize>) -> Vec<usize> {
        let sights = self.of_part(part).enumerate();
        let leading = sights.filter(|(_, sight)| sight.to == to);
        leading.map(|(place, _)| place).collect()
    }

    /// The values of those sights if this part comes next and sees `shown` itself. `None` if it can't
    /// come next.
    pub fn seen(
        &self,
        part: usize,
        to: Option<usize>,
        next: Option<usize>,
        shown: &[usize],
    ) -> Option<Vec<usize>> {
        let leading = self.of_part(part).filter(|sight| sight.to == to);
        leading.map(|sight| sight.value(next, shown)).collect()
    }

    fn hand_on_lookers(&mut self, sight: usize) {
        let Some(from) = self.all.get(sight) else {
            return;
        };
        let lookers = from.lookers.clone();
        let further: Vec<usize> = from.seen.iter().filter_map(|s| self.through(s)).collect();
        for further in further {
            if let Some(further) = self.all.get_mut(further) {
                let new = lookers.iter().filter(|l| !further.lookers.contains(l));
                let new: Vec<_> = new.copied().collect();
                further.lookers.extend(new);
            }
        }
    }

    /// The sight that is looked through.
    fn through(&self, seen: &Seen<'_>) -> Option<usize> {
        match seen.what {
            What::Passes(place) => self.of.get(seen.next?)?.get(place).copied(),
            What::Stops(_) => None,
        }
    }

    fn find_values(&mut self, sight: usize) {
        let Some(from) = self.all.get(sight) else {
            return;
        };
        let mut values = Vec::new();
        let number = |seen: &Seen<'a>| -> Vec<usize> {
            let further = self.through(seen).and_then(|further| self.all.get(further));
            let chords = match (seen.what, further) {
                (What::Stops(chord), _) => vec![chord],
                (What::Passes(_), further) => {
                    let values = further.into_iter().flat_map(|further| &further.values);
                    values.map(|value| value.chord).collect()
                }
            };
            let chords = chords.into_iter();
            chords
                .map(|chord| from.number(chord, &mut values))
                .collect()
        };
        let numbers: Vec<Vec<usize>> = from.seen.iter().map(number).collect();
        if let Some(from) = self.all.get_mut(sight) {
            from.values = values;
            for (seen, numbers) in from.seen.iter_mut().zip(numbers) {
                seen.values = numbers;
            }
        }
    }
}

impl<'a> Sight<'a> {
    /// How many different things may be seen.
    pub fn count(&self) -> usize {
        self.values.len()
    }

    /// The value if this part comes next and sees `shown`.
    fn value(&self, next: Option<usize>, shown: &[usize]) -> Option<usize> {
        let seen = self.seen.iter().find(|seen| seen.next == next)?;
        let value = match seen.what {
            What::Stops(_) => 0,
            What::Passes(place) => *shown.get(place)?,
        };
        seen.values.get(value).copied()
    }

    /// The number of what is seen, new if no looker's place is told apart by it.
    fn number(&self, chord: Option<&'a Chord>, values: &mut Vec<Value<'a>>) -> usize {
        let lookers = self.lookers.iter();
        let places: Vec<Place> = lookers
            .map(|(looker, region)| place(looker, *region, chord))
            .collect();
        let known = values.iter().position(|value| value.places == places);
        known.unwrap_or_else(|| {
            values.push(Value { chord, places });
            values.len() - 1
        })
    }
}

/// Sights while they are being found.
struct Draft<'d, 'a> {
    page: &'a Page<'a>,
    walk: &'d Walk,
    rounds: Rounds,
    sights: Sights<'a>,
    /// The sights by part, time and what is looked past.
    known: BTreeMap<(usize, usize, Past), usize>,
}

impl<'a> Draft<'_, 'a> {
    /// Opens every part's own sight, and whatever is looked through from there.
    fn open_all(&mut self) {
        for (at, part) in self.page.parts.iter().enumerate() {
            let own = self.sight(at, 0, Past::of(part.chord));
            if let Some(own) = self.sights.all.get_mut(own) {
                own.lookers.push((part.chord, part.region));
            }
        }
        let mut next = 0;
        while let Some(sight) = self.sights.all.get(next) {
            let (at, time, past) = (sight.part, sight.time, sight.past);
            if let Some(part) = self.page.parts.get(at) {
                self.look(next, (at, part), time, past);
            }
            next += 1;
        }
    }

    /// A part's sight, new if it is not known, by its place among all.
    fn sight(&mut self, at: usize, time: usize, past: Past) -> usize {
        if let Some(&known) = self.known.get(&(at, time, past)) {
            return known;
        }
        let latest = self.latest(at, time, past);
        let known = self.known.get(&(at, latest, past)).copied();
        let sight = known.unwrap_or_else(|| self.open(at, latest, past));
        self.known.insert((at, time, past), sight);
        self.known.insert((at, latest, past), sight);
        sight
    }

    fn open(&mut self, at: usize, time: usize, past: Past) -> usize {
        let new = self.sights.all.len();
        if let Some(of) = self.sights.of.get_mut(at) {
            of.push(new);
        }
        self.sights.all.push(Sight {
            part: at,
            time,
            past,
            to: None,
            seen: Vec::new(),
            lookers: Vec::new(),
            values: Vec::new(),
        });
        new
    }

    /// Finds what comes after a part, and what a sight shows of it.
    fn look(&mut self, sight: usize, (at, part): (usize, &'a Part<'a>), time: usize, past: Past) {
        let Onward { silent, to } = self.onward(part, time);
        let silent = silent.iter().filter_map(|&slot| self.silent_chord(slot));
        let mut stops = silent.filter(|chord| !past.passes(part.chord, chord));
        let stop = stops.next();
        let mut seen = Vec::new();
        for (next, other) in to
            .into_iter()
            .flat_map(|(to, _)| self.page.followers(at, to))
        {
            let again = to.map_or(0, |(_, time)| time);
            let what = match stop {
                Some(chord) => What::Stops(Some(chord)),
                None if !past.passes(part.chord, other.chord) => What::Stops(Some(other.chord)),
                None => self.through(next, again, past),
            };
            seen.push((Some(next), what));
        }
        if to.is_none() {
            seen.push((None, What::Stops(stop)));
        }
        if let Some(sight) = self.sights.all.get_mut(sight) {
            sight.to = to.map(|(to, _)| to);
            let seen = seen.into_iter();
            sight.seen = seen.map(|(next, what)| Seen::of(next, what)).collect();
        }
    }

    fn through(&mut self, next: usize, time: usize, past: Past) -> What<'a> {
        if self.rounds == Rounds::First && time > 0 {
            self.sights.exact = false;
            return What::Stops(None);
        }
        let sight = self.sight(next, time, past);
        let mut of = self.sights.of.get(next).into_iter().flatten();
        let place = of.position(|&known| known == sight);
        What::Passes(place.unwrap_or_default())
    }

    fn onward(&self, part: &Part<'_>, time: usize) -> Onward {
        let (slot, last) = self.end(part);
        if self.walk.is_last(last, slot) {
            return self.walk.onward(slot, time);
        }
        Onward {
            silent: Vec::new(),
            to: Some((last + 1, time)),
        }
    }

    /// The slot and the moment a part ends with.
    fn end(&self, part: &Part<'_>) -> (usize, usize) {
        let last = part.moments.end.saturating_sub(1);
        let slot = self.page.moments.get(last).map(|moment| moment.slot);
        (slot.unwrap_or_default(), last)
    }

    fn silent_chord(&self, slot: usize) -> Option<&'a Chord> {
        self.page.slots.get(slot)?.symbol.chord()
    }

    /// The last of the times a part is played at which it sees the same as at this one: the same slots
    /// come in the same order, as far as may be seen.
    fn latest(&self, at: usize, time: usize, past: Past) -> usize {
        let Some(part) = self.page.parts.get(at) else {
            return time;
        };
        let (slot, _) = self.end(part);
        let mut later = (time + 1..self.walk.times(slot)).rev();
        if self.rounds == Rounds::First || later.len() == 0 {
            return time;
        }
        let horizon = |time| self.horizon(part, self.walk.after(slot, time), past);
        let view = horizon(time);
        later.find(|&later| horizon(later) == view).unwrap_or(time)
    }

    /// The slots among those to come that may be seen from a part, each once: who has looked past a
    /// slot does so again.
    fn horizon(&self, part: &Part<'_>, after: &[usize], past: Past) -> Vec<usize> {
        let mut passed = vec![false; self.page.slots.len()];
        for slot in self.own_slots(part) {
            passed
                .get_mut(slot)
                .into_iter()
                .for_each(|passed| *passed = true);
        }
        let mut found = Vec::new();
        for &slot in after {
            let is_new = |passed: &mut bool| !std::mem::replace(passed, true);
            if passed.get_mut(slot).is_some_and(is_new) {
                found.push(slot);
                if !self.may_pass(part.chord, slot, past) {
                    break;
                }
            }
        }
        found
    }

    /// The slots in which nothing sounds before a part begins: who looks on from there has seen all of
    /// them.
    fn own_slots(&self, part: &Part<'_>) -> impl Iterator<Item = usize> {
        let moments = self.page.moments.get(part.moments.clone());
        let slots = moments.into_iter().flatten().map(|moment| moment.slot);
        let start = part.moments.start;
        slots.filter(move |&slot| {
            let moments = self.walk.moments(slot);
            moments.is_some_and(|(first, _)| start <= first)
        })
    }

    /// Whether a chord might look past all that sounds in a slot.
    fn may_pass(&self, chord: &Chord, slot: usize, past: Past) -> bool {
        let passes = |other: &Chord| past.passes(chord, other);
        match self.walk.moments(slot) {
            None => self.silent_chord(slot).is_none_or(passes),
            Some((first, last)) => (first..=last)
                .all(|moment| self.page.here(moment).any(|(_, part)| passes(part.chord))),
        }
    }

    /// All sights, those furthest on in the performance first.
    fn from_the_end(&self) -> Vec<usize> {
        let place = |&sight: &usize| {
            let sight = self.sights.all.get(sight)?;
            let (slot, last) = self.end(self.page.parts.get(sight.part)?);
            Some((self.walk.place(slot, sight.time), last))
        };
        let mut order: Vec<usize> = (0..self.sights.all.len()).collect();
        order.sort_by_key(|sight| std::cmp::Reverse(place(sight)));
        order
    }
}

impl<'a> Seen<'a> {
    fn of(next: Option<usize>, what: What<'a>) -> Self {
        Self {
            next,
            what,
            values: Vec::new(),
        }
    }
}
