//! Who looks past whom, and how often a part is played by then: which sights there are.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::parts::{Page, Part};
use super::sights::{Rounds, Seen, Sight, Sights, What};
use super::walk::{Onward, Walk};
use crate::chord::Chord;
use crate::harmony::Past;

/// All sights of a page, without their values, and their order: those furthest on in the performance
/// first.
pub(super) fn looked_for<'a>(
    page: &'a Page<'a>,
    walk: &Walk,
    rounds: Rounds,
) -> (Sights<'a>, Vec<usize>) {
    let mut draft = Draft {
        page,
        walk,
        sights: Sights {
            rounds,
            all: Vec::new(),
            of: vec![Vec::new(); page.parts.len()],
            comes_round: false,
        },
        known: BTreeMap::new(),
    };
    draft.open_all();
    let order = draft.last_first();
    (draft.sights, order)
}

/// Sights while they are being found.
struct Draft<'d, 'a> {
    page: &'a Page<'a>,
    walk: &'d Walk,
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
        self.sights.all.push(Sight::of(at, time, past));
        new
    }

    /// Finds what comes after a part, and what a sight shows of it.
    fn look(&mut self, sight: usize, (at, part): (usize, &'a Part<'a>), time: usize, past: Past) {
        let Onward { silent, to } = self.onward(part, time);
        let silent = silent.iter().filter_map(|&slot| self.silent_chord(slot));
        let mut stops = silent.filter(|chord| !past.passes(part.chord, chord));
        let stop = stops.next();
        let page = self.page;
        let next = to.map(|(to, time)| page.followers(at, to).map(move |next| (next, time)));
        let mut seen = Vec::new();
        for ((next, other), time) in next.into_iter().flatten() {
            let what = match stop {
                Some(chord) => What::Stops(Some(chord)),
                None if !past.passes(part.chord, other.chord) => What::Stops(Some(other.chord)),
                None => self.through(next, time, past),
            };
            seen.push(Seen::of(Some(next), what));
        }
        if to.is_none() {
            seen.push(Seen::of(None, What::Stops(stop)));
        }
        if let Some(sight) = self.sights.all.get_mut(sight) {
            sight.to = to.map(|(to, _)| to);
            sight.seen = seen;
        }
    }

    fn through(&mut self, next: usize, time: usize, past: Past) -> What<'a> {
        self.sights.comes_round |= time > 0;
        if self.sights.rounds == Rounds::First && time > 0 {
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
    /// come in the same order, as far as may be seen. It is the last, so that a sight depends only on
    /// sights further on.
    fn latest(&self, at: usize, time: usize, past: Past) -> usize {
        let Some(part) = self.page.parts.get(at) else {
            return time;
        };
        let (slot, _) = self.end(part);
        let mut later = (time + 1..self.walk.times(slot)).rev();
        if self.sights.rounds == Rounds::First || later.len() == 0 {
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
        let mut pass = |slot: usize| {
            let passed = passed.get_mut(slot);
            passed.is_some_and(|passed| !std::mem::replace(passed, true))
        };
        for slot in self.own_slots(part) {
            pass(slot);
        }
        let mut found = Vec::new();
        for &slot in after {
            if pass(slot) {
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
    fn last_first(&self) -> Vec<usize> {
        let place = |&sight: &usize| {
            let sight = self.sights.all.get(sight)?;
            let (slot, last) = self.end(self.page.parts.get(sight.part)?);
            Some((self.walk.place(slot, sight.time), last))
        };
        let mut order: Vec<usize> = (0..self.sights.all.len()).collect();
        order.sort_by_key(|sight| Reverse(place(sight)));
        order
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arrange::Settings;
    use crate::arrange::regions::Keyed;
    use crate::chart::read;

    /// How many sights each chord of a page has.
    fn sights(text: &str, looped: bool) -> Vec<usize> {
        let chart = read(text).unwrap();
        let sources = Keyed::of(&chart, looped).unwrap();
        let page = Page::of(&sources, &[], &Settings::default());
        let walk = Walk::of(&page, looped);
        let sights = Sights::of(&page, &walk, Rounds::All);
        sights.of.iter().map(Vec::len).collect()
    }

    #[test]
    fn what_nobody_looks_past_has_its_own_sight_only() {
        assert_eq!(sights("|: Dm7 | G7 :| Cmaj7 |", true), [1, 1, 1]);
    }

    #[test]
    fn a_chord_that_sees_the_same_each_time_has_one_sight() {
        // The last goes round to the first, and past it to C6, as the first did.
        assert_eq!(sights("|: G7 | C6 | G7 :|", false), [1, 1, 1]);
    }

    #[test]
    fn a_chord_that_sees_something_else_the_second_time_has_two() {
        // The first time the second G7 sees the first again, the second time C6.
        assert_eq!(sights("|: G7 | G7 :| C6 |", false), [1, 2, 1]);
        // Round and round on one root: who has come round to the first has nothing more to see after
        // the last.
        assert_eq!(sights("| G7 | G7sus | G7 |", true), [1, 2, 2]);
    }

    #[test]
    fn a_dominant_looks_past_a_minor_chord_that_itself_would_stop() {
        assert_eq!(sights("| G7 | Gm7 | G7sus | C6 |", false), [1, 2, 1, 1]);
    }
}
