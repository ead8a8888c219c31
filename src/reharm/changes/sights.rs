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

use super::looks::looked_for;
use super::parts::Page;
use super::walk::Walk;
use crate::chord::Chord;
use crate::harmony::{Past, Place, place};
use crate::pitch::Key;

/// What every part has to know of what lies ahead.
pub(super) struct Sights<'a> {
    pub rounds: Rounds,
    pub all: Vec<Sight<'a>>,
    /// For each part its sights, that of its own chord first.
    pub of: Vec<Vec<usize>>,
    /// Whether somebody looks past a part that was played before.
    pub comes_round: bool,
}

/// How far sights go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rounds {
    /// Wherever they lead.
    All,
    /// Nothing is seen beyond a part that was played before.
    First,
}

/// What is seen from a part, one of the times it is played.
#[derive(Debug)]
pub(super) struct Sight<'a> {
    pub part: usize,
    /// How often it was played before.
    pub time: usize,
    pub past: Past,
    /// The moment the part goes on to.
    pub to: Option<usize>,
    pub seen: Vec<Seen<'a>>,
    /// The chords, with their keys, whose place depends on this.
    pub lookers: Vec<(&'a Chord, Option<Key>)>,
    /// What may be seen. What gives every looker the same place is the same.
    values: Vec<Value<'a>>,
}

/// What is seen if this part comes next; no part at the end.
#[derive(Debug)]
pub(super) struct Seen<'a> {
    next: Option<usize>,
    what: What<'a>,
    /// The value it is, or for each value of the sight looked through the value it is here.
    values: Vec<usize>,
}

#[derive(Debug, Clone, Copy)]
pub(super) enum What<'a> {
    /// This chord is the next different one.
    Stops(Option<&'a Chord>),
    /// What the next part sees, by the place of that sight among its own.
    Passes(usize),
}

/// What a looker sees, and the places it gives to all of them.
#[derive(Debug)]
struct Value<'a> {
    chord: Option<&'a Chord>,
    places: Vec<Place>,
}

impl<'a> Sights<'a> {
    pub fn of(page: &'a Page<'a>, walk: &Walk, rounds: Rounds) -> Self {
        let (mut sights, order) = looked_for(page, walk, rounds);
        for &sight in order.iter().rev() {
            sights.hand_on_lookers(sight);
        }
        for sight in order {
            sights.find_values(sight);
        }
        sights
    }

    /// Whether what is seen is what will be there.
    pub fn exact(&self) -> bool {
        self.rounds == Rounds::All || !self.comes_round
    }

    /// Whether more is seen than in the first round.
    pub fn sees_further(&self) -> bool {
        self.rounds == Rounds::All && self.comes_round
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
    /// This, with nothing known yet of what is seen.
    pub fn of(part: usize, time: usize, past: Past) -> Self {
        Self {
            part,
            time,
            past,
            to: None,
            seen: Vec::new(),
            lookers: Vec::new(),
            values: Vec::new(),
        }
    }

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

impl<'a> Seen<'a> {
    /// This, its values not known yet.
    pub fn of(next: Option<usize>, what: What<'a>) -> Self {
        Self {
            next,
            what,
            values: Vec::new(),
        }
    }
}
