//! The page as the planner's lattice: a point for every moment, a state for every voicing of every
//! part that may sound there.
//!
//! What a chord takes depends on the next different chord ([`place`]), which may be replaced as well.
//! So a state also stands for what lies ahead of it, and two labels say which states may meet: one
//! keeps a replacement whole and a held voicing held, the other keeps what a state takes to lie ahead
//! true.

use std::collections::BTreeMap;

use super::parts::{Page, Part};
use super::ways::{Onward, onward, passages, visits};
use crate::arrange::question::choices;
use crate::arrange::{Cache, Settings, motion};
use crate::harmony::{Ahead, ground, is_dominant, place};
use crate::plan::{Labels, Passage, Point, State};
use crate::voicing::{Ask, Voicing};

/// The lattice, and what its states stand for.
pub(super) struct Layout {
    pub points: Vec<Point>,
    pub passages: Vec<Passage>,
    /// Whether no chord looks past the one it comes to where the page comes round again: then what
    /// lies ahead of every state is what the new page will have there.
    pub exact: bool,
    /// For each state of each point, the replacement that begins with it.
    begins: Vec<Vec<Option<usize>>>,
}

impl Layout {
    /// The replacements of a choice, rising.
    pub fn taken(&self, choice: &[usize]) -> Vec<usize> {
        let states = self.begins.iter().zip(choice);
        let mut taken: Vec<usize> = states
            .filter_map(|(begins, &state)| begins.get(state).copied().flatten())
            .collect();
        taken.sort_unstable();
        taken
    }
}

/// A part, and what lies ahead of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Stand<'a> {
    part: usize,
    ahead: Ahead<'a>,
}

/// The channel that keeps replacements whole and held voicings held.
pub(super) const WHOLE: usize = 0;

/// The channel that keeps what lies ahead true.
pub(super) const AHEAD: usize = 1;

/// Lays a page out.
pub(super) fn laid_out(page: &Page<'_>, settings: &Settings, cache: &mut Cache) -> Layout {
    let mut draft = Draft {
        page,
        onward: onward(page, settings.looped),
        stands: vec![Vec::new(); page.moments.len()],
        labels: Interned::default(),
    };
    draft.look_ahead();
    let visits = visits(page);
    let (mut points, mut begins) = (Vec::new(), Vec::new());
    for (at, moment) in page.moments.iter().enumerate() {
        let (states, starts) = draft.states(at, settings, cache);
        let visits = visits.get(moment.slot).copied().unwrap_or(0);
        points.push(Point { states, visits });
        begins.push(starts);
    }
    Layout {
        points,
        passages: passages(page, settings, &draft.onward),
        exact: draft.is_exact(),
        begins,
    }
}

struct Draft<'a> {
    page: &'a Page<'a>,
    /// For each moment that ends its slot, where it goes on.
    onward: BTreeMap<usize, Onward<'a>>,
    /// For each moment, what may stand there.
    stands: Vec<Vec<Stand<'a>>>,
    labels: Interned<'a>,
}

impl<'a> Draft<'a> {
    fn part(&self, part: usize) -> Option<&'a Part<'a>> {
        self.page.parts.get(part)
    }

    fn here(&self, moment: usize) -> impl Iterator<Item = (usize, &'a Part<'a>)> {
        let parts = self.page.parts.iter().enumerate();
        parts.filter(move |(_, part)| part.moments.contains(&moment))
    }

    /// Finds everything that may lie ahead of every part, from the end of the page backwards, until
    /// nothing new is found.
    fn look_ahead(&mut self) {
        loop {
            let mut found_any = false;
            for moment in (0..self.page.moments.len()).rev() {
                let here: Vec<(usize, &Part<'_>)> = self.here(moment).collect();
                for (at, part) in here {
                    for ahead in self.ahead_of(at, part, moment) {
                        let stand = Stand { part: at, ahead };
                        if let Some(stands) = self.stands.get_mut(moment)
                            && !stands.contains(&stand)
                        {
                            stands.push(stand);
                            found_any = true;
                        }
                    }
                }
            }
            if !found_any {
                return;
            }
        }
    }

    /// What may lie ahead of a part at a moment.
    fn ahead_of(&self, at: usize, part: &'a Part<'a>, moment: usize) -> Vec<Ahead<'a>> {
        let inside = Onward {
            to: Some(moment + 1),
            ..Onward::default()
        };
        let onward = self.onward.get(&moment).unwrap_or(&inside);
        let silent = onward.silent.as_slice();
        let Some(to) = onward.to else {
            return vec![self.through(silent, Ahead::default()).of(part.chord)];
        };
        if onward.again.is_some() {
            // Whatever may begin there is seen, whether or not it is known yet what lies ahead of it.
            let begins = self.here(to).filter(|(_, other)| other.moments.start == to);
            let seen = begins.map(|(_, other)| onward.seen(other, Ahead::default()));
            let ahead = seen.map(|seen| self.through(silent, seen).of(part.chord));
            return ahead.collect();
        }
        let next = self.stands.get(to).map(Vec::as_slice).unwrap_or_default();
        let mut found = Vec::new();
        for stand in next {
            let Some(other) = self.part(stand.part) else {
                continue;
            };
            let ahead = if stand.part == at && part.moments.contains(&to) && to == moment + 1 {
                stand.ahead
            } else if self.meets(at, part, stand.part, other, (moment, to)) {
                self.through(silent, stand.ahead).of(part.chord)
            } else {
                continue;
            };
            if !found.contains(&ahead) {
                found.push(ahead);
            }
        }
        found
    }

    /// Whether a part that ends at one moment may be followed by another that begins at the next.
    fn meets(
        &self,
        at: usize,
        part: &Part<'_>,
        other_at: usize,
        other: &Part<'_>,
        (moment, to): (usize, usize),
    ) -> bool {
        let ends = part.moments.end == moment + 1;
        let begins = other.moments.start == to;
        let follows = match (part.goes_on, other.of) {
            (true, _) => other_at == at + 1,
            (false, Some((_, number))) => number == 0,
            (false, None) => true,
        };
        ends && begins && follows
    }

    /// What lies ahead beyond some slots in which the hand is silent.
    fn through(&self, silent: &[usize], ahead: Ahead<'a>) -> Ahead<'a> {
        let chords = silent
            .iter()
            .rev()
            .filter_map(|&at| self.page.slots.get(at));
        chords
            .filter_map(|slot| slot.symbol.chord())
            .fold(ahead, Ahead::of)
    }

    /// Whether nothing that looks ahead where the page comes round again looks past what it sees there.
    fn is_exact(&self) -> bool {
        let seams = self.onward.iter();
        let mut seams = seams.filter(|(_, onward)| onward.again.is_some());
        seams.all(|(&from, onward)| {
            let there = onward.to.into_iter().flat_map(|to| {
                let parts = self.here(to).map(|(_, part)| part);
                parts.filter(move |part| part.moments.start == to)
            });
            let there: Vec<&Part<'_>> = there.collect();
            let ends = self.here(from).map(|(_, part)| part);
            let mut ends = ends.filter(|part| part.moments.end == from + 1);
            ends.all(|part| there.iter().all(|seen| !self.looks_past(part, seen)))
        })
    }

    /// Whether a part, or one before it that looks through it, looks past the part that comes next: a
    /// dominant looks past its own root, any other chord past its own symbol.
    fn looks_past(&self, part: &Part<'_>, seen: &Part<'_>) -> bool {
        let stays = ground(part.chord) == ground(seen.chord);
        let same = part.chord.symbol() == seen.chord.symbol();
        let through = |other: &Part<'_>| {
            is_dominant(other.chord) && ground(other.chord) == ground(part.chord)
        };
        let mut before = self.before(part.moments.start).into_iter();
        let mut led = || before.any(|(from, _)| self.here(from).any(|(_, other)| through(other)));
        same || stays && (is_dominant(part.chord) || led())
    }

    /// The states of a moment, and which replacement begins with each.
    fn states(
        &mut self,
        moment: usize,
        settings: &Settings,
        cache: &mut Cache,
    ) -> (Vec<State>, Vec<Option<usize>>) {
        let (mut states, mut begins) = (Vec::new(), Vec::new());
        for stand in self.stands.get(moment).cloned().unwrap_or_default() {
            let Some(part) = self.part(stand.part) else {
                continue;
            };
            let fresh = part.moments.start == moment;
            let new = part.of.filter(|(_, number)| *number == 0 && fresh);
            let voicings = self.voicings(part, stand.ahead, settings, cache);
            for (number, voicing) in voicings.iter().enumerate() {
                let Some(row) = motion::row(voicing) else {
                    continue;
                };
                let state = State {
                    fresh,
                    weight: u32::from(new.is_some()),
                    ..State::new(row)
                };
                let (into, out) = self.whole(stand, part, moment, number);
                let state = state.joined(WHOLE, into, out);
                let (into, out) = self.ahead(stand, part, moment);
                states.push(state.joined(AHEAD, into, out));
                begins.push(new.map(|(replacement, _)| replacement));
            }
        }
        (states, begins)
    }

    fn voicings(
        &self,
        part: &Part<'_>,
        ahead: Ahead<'_>,
        settings: &Settings,
        cache: &mut Cache,
    ) -> Vec<Voicing> {
        let place = place(part.chord, part.region, ahead.next());
        let found = match part.of {
            None => {
                let slot = self.page.moments.get(part.moments.start);
                let slot = slot.and_then(|moment| self.page.slots.get(moment.slot));
                slot.and_then(|slot| choices(slot, place, settings, cache).ok())
            }
            Some(_) => {
                let ask = Ask {
                    chord: part.chord,
                    place,
                    melody: &part.melody,
                };
                cache.candidates(&ask, &settings.voicing).ok()
            }
        };
        found.map(|found| found.to_vec()).unwrap_or_default()
    }

    /// The labels that keep replacements whole and held voicings held.
    fn whole(
        &mut self,
        stand: Stand<'a>,
        part: &Part<'_>,
        moment: usize,
        voicing: usize,
    ) -> (Labels, Labels) {
        let held = |at| Label::Held(at, stand, voicing);
        let into = match part.of {
            _ if part.moments.start < moment => held(moment),
            Some((_, number)) if number > 0 => Label::Next(stand.part),
            _ => Label::Fresh,
        };
        let out = match part.goes_on {
            _ if part.moments.end > moment + 1 => held(moment + 1),
            true => Label::Next(stand.part + 1),
            false => Label::Fresh,
        };
        (self.labels.one(into), self.labels.one(out))
    }

    /// The labels that keep what lies ahead true: a state offers what it takes to lie ahead, and
    /// accepts every chord before it that looks at it so.
    fn ahead(&mut self, stand: Stand<'a>, part: &Part<'a>, moment: usize) -> (Labels, Labels) {
        let out = self.labels.one(Label::Ahead(moment, stand));
        if part.moments.start < moment {
            // Held: the label for wholeness says what lies ahead, too.
            return (Labels::ANY, out);
        }
        let mut accepted = Vec::new();
        for (from, onward) in self.before(moment) {
            let seen = onward.seen(part, stand.ahead);
            let seen = self.through(&onward.silent, seen);
            for earlier in self.stands.get(from).cloned().unwrap_or_default() {
                let chord = self.part(earlier.part).map(|part| part.chord);
                if chord.is_some_and(|chord| seen.of(chord) == earlier.ahead) {
                    accepted.push(self.labels.number(Label::Ahead(from, earlier)));
                }
            }
        }
        (Labels::of(accepted), out)
    }

    /// The moments that lead here the first time they are played, and how.
    fn before(&self, moment: usize) -> Vec<(usize, Onward<'a>)> {
        let inside = moment
            .checked_sub(1)
            .filter(|before| !self.onward.contains_key(before));
        let onward = self.onward.iter();
        let ends = onward.filter(move |(_, onward)| onward.to == Some(moment));
        let ends = ends.map(|(&from, onward)| (from, onward.clone()));
        ends.chain(inside.map(|before| (before, Onward::default())))
            .collect()
    }
}

/// What two states have to agree on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Label<'a> {
    /// Something begins.
    Fresh,
    /// This part of a replacement comes.
    Next(usize),
    /// At this moment this voicing of this stand goes on.
    Held(usize, Stand<'a>, usize),
    /// At this moment this is taken to lie ahead.
    Ahead(usize, Stand<'a>),
}

/// Labels by number.
#[derive(Default)]
struct Interned<'a>(BTreeMap<(u8, usize), Vec<(Label<'a>, u32)>>, u32);

impl<'a> Interned<'a> {
    fn one(&mut self, label: Label<'a>) -> Labels {
        Labels::of([self.number(label)])
    }

    fn number(&mut self, label: Label<'a>) -> u32 {
        let drawer = match label {
            Label::Fresh => (0, 0),
            Label::Next(part) => (1, part),
            Label::Held(moment, ..) => (2, moment),
            Label::Ahead(moment, _) => (3, moment),
        };
        let Self(drawers, count) = self;
        let known = drawers.entry(drawer).or_default();
        if let Some((_, number)) = known.iter().find(|(other, _)| *other == label) {
            return *number;
        }
        *count += 1;
        known.push((label, *count));
        *count
    }
}
