//! The page as the planner's lattice: a point for every moment, a state for every voicing of every
//! part that may sound there.
//!
//! What a chord takes depends on the next different chord ([`place`]), which may be replaced as well.
//! So a state also stands for what lies ahead of it ([`Sights`]), and two labels say which states may
//! meet: one keeps a replacement whole and a held voicing held, the other keeps what a state takes to
//! lie ahead true.

use std::collections::{BTreeMap, BTreeSet};

use super::parts::{Page, Part};
use super::sights::{Rounds, Sights};
use super::stands::{Stand, Stands, picked};
use super::walk::Walk;
use super::ways::{passages, visits};
use crate::arrange::question::choices;
use crate::arrange::{Cache, Settings, motion};
use crate::harmony::place;
use crate::plan::{Labels, Passage, Point, State, Unsolvable};
use crate::voicing::{Ask, Voicing};

/// The lattice, and what its states stand for.
pub(super) struct Layout {
    pub points: Vec<Point>,
    pub passages: Vec<Passage>,
    /// Whether what lies ahead of every state is what the new page will have there.
    pub exact: bool,
    /// Whether that includes what lies beyond a part that was played before.
    pub sees_further: bool,
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

/// The channel that keeps replacements whole and held voicings held.
pub(super) const WHOLE: usize = 0;

/// The channel that keeps what lies ahead true.
pub(super) const AHEAD: usize = 1;

/// Lays a page out.
///
/// # Errors
///
/// [`Unsolvable::OverBudget`] if more may be seen than can be looked at.
pub(super) fn laid_out(
    page: &Page<'_>,
    rounds: Rounds,
    settings: &Settings,
    cache: &mut Cache,
) -> Result<Layout, Unsolvable> {
    let walk = Walk::of(page, settings.looped);
    let sights = Sights::of(page, &walk, rounds);
    let stands = Stands::of(page, &sights)?;
    let mut draft = Draft {
        ways: sights.ways(page),
        page,
        sights,
        stands,
        labels: Interned::default(),
    };
    let visits = visits(page);
    let (mut points, mut begins) = (Vec::new(), Vec::new());
    for (at, moment) in page.moments.iter().enumerate() {
        let (states, starts) = draft.states(at, settings, cache);
        let visits = visits.get(moment.slot).copied().unwrap_or(0);
        points.push(Point { states, visits });
        begins.push(starts);
    }
    Ok(Layout {
        points,
        passages: passages(page, settings, &draft.ways),
        exact: draft.sights.exact(),
        sees_further: draft.sights.sees_further(),
        begins,
    })
}

struct Draft<'a> {
    page: &'a Page<'a>,
    sights: Sights<'a>,
    stands: Stands,
    /// For each moment, from which others somebody looks at it.
    ways: BTreeMap<usize, BTreeSet<usize>>,
    labels: Interned,
}

impl Draft<'_> {
    /// The states of a moment, and which replacement begins with each.
    fn states(
        &mut self,
        moment: usize,
        settings: &Settings,
        cache: &mut Cache,
    ) -> (Vec<State>, Vec<Option<usize>>) {
        let (mut states, mut begins) = (Vec::new(), Vec::new());
        let here = self.page.here(moment);
        let stands = here.flat_map(|(at, part)| self.stands.of_part(at).map(move |s| (s, part)));
        let stands: Vec<(Stand, &Part<'_>)> = stands.collect();
        for (stand, part) in stands {
            let fresh = part.moments.start == moment;
            let new = part.of.filter(|(_, number)| *number == 0 && fresh);
            let voicings = self.voicings(part, stand, settings, cache);
            let (seen, shows) = self.ahead(stand, part, moment);
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
                states.push(state.joined(AHEAD, seen.clone(), shows.clone()));
                begins.push(new.map(|(replacement, _)| replacement));
            }
        }
        (states, begins)
    }

    fn voicings(
        &self,
        part: &Part<'_>,
        stand: Stand,
        settings: &Settings,
        cache: &mut Cache,
    ) -> Vec<Voicing> {
        let own = self.stands.shown(stand).first();
        let next = own.and_then(|&value| self.sights.chord(stand.part, value));
        let place = place(part.chord, part.region, next);
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
        stand: Stand,
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
    fn ahead(&mut self, stand: Stand, part: &Part<'_>, moment: usize) -> (Labels, Labels) {
        let out = self.labels.one(Label::Ahead(stand));
        if part.moments.start < moment {
            // Held: the label for wholeness says what lies ahead, too.
            return (Labels::ANY, out);
        }
        let before = self.ways.get(&moment).into_iter().flatten();
        let ends = before.flat_map(|&from| {
            let here = self.page.here(from);
            here.filter(move |(_, earlier)| earlier.moments.end == from + 1)
        });
        let mut accepted = Vec::new();
        for (earlier, _) in ends {
            let shown = self.stands.shown(stand);
            let seen = self
                .sights
                .seen(earlier, Some(moment), Some(stand.part), shown);
            let leading = self.sights.leading(earlier, Some(moment));
            let stands = self.stands.of_part(earlier).filter(|&earlier| {
                let taken = picked(self.stands.shown(earlier), &leading);
                seen.as_ref() == Some(&taken)
            });
            accepted.extend(stands.map(|stand| self.labels.number(Label::Ahead(stand))));
        }
        (Labels::of(accepted), out)
    }
}

/// What two states have to agree on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Label {
    /// Something begins.
    Fresh,
    /// This part of a replacement comes.
    Next(usize),
    /// At this moment this voicing of this stand goes on.
    Held(usize, Stand, usize),
    /// This is taken to lie ahead.
    Ahead(Stand),
}

/// Labels by number.
#[derive(Default)]
struct Interned(BTreeMap<(u8, usize), Vec<(Label, u32)>>, u32);

impl Interned {
    fn one(&mut self, label: Label) -> Labels {
        Labels::of([self.number(label)])
    }

    fn number(&mut self, label: Label) -> u32 {
        let drawer = match label {
            Label::Fresh => (0, 0),
            Label::Next(part) => (1, part),
            Label::Held(moment, ..) => (2, moment),
            Label::Ahead(stand) => (3, stand.part),
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
