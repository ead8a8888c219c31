//! The page as the engine's model: a variable for every moment, a value for every voicing of every part
//! that may sound there.
//!
//! A value also stands for what lies ahead of it ([`Outlook`]), since that decides its voicings. One
//! number at either end of a moment says which values may meet within a run: it keeps a replacement
//! whole, a held voicing held, and what a value takes to lie ahead true.

use std::sync::Arc;

use super::ahead::Outlook;
use super::parts::{PossibleChord, SpannedPage};
use super::space::{PartState, StateSpace};
use super::ways::edges;
use crate::arrange::choices::choices;
use crate::arrange::{Cache, Settings, value};
use crate::optimise::{Edge, Value};
use crate::voicing::{Ask, Voicing};

/// Lays a page out.
pub(super) fn laid_out(
    page: &SpannedPage<'_>,
    settings: &Settings,
    cache: &mut Cache,
) -> StateSpace {
    let mut moments = Vec::with_capacity(page.moments.len());
    let edges = each_moment(page, settings, cache, |states| moments.push(states));
    StateSpace { moments, edges }
}

/// Gives the states of one moment after the other, and the ways between them: a long page need not be held as a
/// whole.
pub(super) fn each_moment(
    page: &SpannedPage<'_>,
    settings: &Settings,
    cache: &mut Cache,
    mut take: impl FnMut(Vec<PartState>),
) -> Vec<Edge> {
    let range = settings.voicing.hand.range;
    let mut draft = StateBuilder {
        outlook: Outlook::of(page),
        centre: range.doubled_middle(),
        page,
        held: Vec::new(),
    };
    for at in 0..page.moments.len() {
        take(draft.states(at, settings, cache));
    }
    edges(page, settings, &draft.outlook)
}

/// A part that lasts more than a moment, in one voicing.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Held {
    part: usize,
    view: usize,
    voicing: usize,
}

struct StateBuilder<'d, 'a> {
    page: &'d SpannedPage<'a>,
    outlook: Outlook<'a>,
    /// Lowest plus highest key of the range.
    centre: i32,
    /// What is held from the moment before, by its number among these.
    held: Vec<Held>,
}

impl<'a> StateBuilder<'_, 'a> {
    /// The states of a moment.
    fn states(&mut self, moment: usize, settings: &Settings, cache: &mut Cache) -> Vec<PartState> {
        let (mut states, mut held, mut kinds) = (Vec::new(), Vec::new(), 0..);
        for (at, part) in self.page.here(moment) {
            let fresh = part.moments.start == moment;
            for view in self.outlook.views(at, part) {
                let kind = kinds.next().unwrap_or_default();
                let voicings = self.voicings(part, view, settings, cache);
                let before = fresh.then(|| self.outlook.before(at, part, view));
                let values = voicings.iter().map(|voicing| value(voicing, self.centre));
                for (voicing, value) in values.enumerate() {
                    let Some(value) = value else { continue };
                    let this = Held {
                        part: at,
                        view,
                        voicing,
                    };
                    let into = before.unwrap_or_else(|| self.goes_on(this, moment));
                    let out = match part.moments.end > moment + 1 {
                        true => {
                            held.push(this);
                            self.outlook.count(moment) + held.len() - 1
                        }
                        false => view,
                    };
                    states.push(PartState {
                        kind,
                        ..self.state(part, value, [into, out], moment)
                    });
                }
            }
        }
        self.held = held;
        states
    }

    /// A part in one of its voicings, with the numbers it joins the moments before and after by.
    fn state(
        &self,
        part: &PossibleChord<'a>,
        value: Value,
        [into, out]: [usize; 2],
        moment: usize,
    ) -> PartState {
        let fresh = part.moments.start == moment;
        let value = if fresh { value } else { held_on(value) };
        PartState {
            value: Value {
                into: boundary(into),
                out: boundary(out),
                ..self.visited(value, moment)
            },
            of: part.of.map(|(replacement, _)| replacement),
            begins: fresh && part.of.is_some_and(|(_, number)| number == 0),
            kind: 0,
        }
    }

    /// A value with what it costs at all its visits together.
    fn visited(&self, value: Value, moment: usize) -> Value {
        let slot = self.page.moments.get(moment).map(|moment| moment.slot);
        let visits = slot.map_or(1, |slot| self.page.performance.times(slot));
        let visits = u32::try_from(visits).unwrap_or(u32::MAX);
        Value {
            effort: value.effort.saturating_mul(visits),
            off_centre: value.off_centre.saturating_mul(visits),
            ..value
        }
    }

    /// The number by which a voicing joins itself in the moment before.
    fn goes_on(&self, this: Held, moment: usize) -> usize {
        let held = self.held.iter().position(|held| *held == this);
        self.outlook.count(moment - 1) + held.unwrap_or_default()
    }

    fn voicings(
        &self,
        part: &PossibleChord<'a>,
        view: usize,
        settings: &Settings,
        cache: &mut Cache,
    ) -> Arc<Vec<Voicing>> {
        let context = self.outlook.context(part, view);
        let found = match part.of {
            None => {
                let slot = self.page.moments.get(part.moments.start);
                let slot = slot.and_then(|moment| self.page.slots.get(moment.slot));
                slot.and_then(|slot| choices(slot, context, settings, cache).ok())
            }
            Some(_) => {
                let ask = Ask {
                    chord: part.chord,
                    context,
                    melody: &part.melody,
                };
                cache.candidates(&ask, &settings.voicing).ok()
            }
        };
        found.unwrap_or_default()
    }
}

/// A voicing that goes on sounding from before does not pay again for what it is.
fn held_on(value: Value) -> Value {
    Value {
        effort: 0,
        off_centre: 0,
        ..value
    }
}

/// A boundary number as the engine has it. There are far fewer than 2^32 of them: each is a voicing.
fn boundary(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}
