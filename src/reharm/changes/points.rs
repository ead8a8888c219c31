//! The page as the engine's model: a variable for every moment, a value for every voicing of every part
//! that may sound there.
//!
//! A value also stands for what lies ahead of it ([`Outlook`]), since that decides its voicings. One
//! number at either end of a moment says which values may meet within a run: it keeps a replacement
//! whole, a held voicing held, and what a value takes to lie ahead true.

use super::ahead::Outlook;
use super::parts::{PossibleChord, SpannedPage};
use super::ways::edges;
use crate::arrange::choices::choices;
use crate::arrange::{Cache, Settings, value};
use crate::optimise::{Budget, Edge, Model, Unsolvable, Value};
use crate::voicing::{Ask, Voicing};

/// The page laid out: for every moment its states, and the ways between them.
pub(super) struct StateSpace {
    moments: Vec<Vec<PartState>>,
    edges: Vec<Edge>,
}

/// A voicing of a part, with what lies ahead of it.
struct PartState {
    /// Its costs are those of all its visits together: a replacement is charged once, not each time.
    value: Value,
    /// The replacement it belongs to.
    of: Option<usize>,
    /// Whether that begins with it.
    begins: bool,
}

/// A model of some of the states, and which they are.
#[derive(Default)]
pub(super) struct WeightedPage {
    pub model: Model,
    /// How much more than their tolls say all choices cost.
    pub raised: i64,
    /// For each value of each moment, the replacement that begins with it.
    pub(super) begins: Vec<Vec<Option<usize>>>,
}

impl WeightedPage {
    /// The least effort of all choices, tolls paid, and for each of so many replacements that of the choices
    /// which take it; `None` where there is none.
    pub fn least_efforts(&self, replacements: usize) -> Result<LeastEfforts, Unsolvable> {
        let efforts = self.model.least_efforts(Budget::default())?;
        let paid = |effort: u64| Some(i64::try_from(effort).ok()? - self.raised);
        let mut with = vec![None; replacements];
        for (effort, begun) in efforts.iter().flatten().zip(self.begins.iter().flatten()) {
            let known = begun.and_then(|of| with.get_mut(of));
            if let (Some(effort), Some(known)) = (effort.and_then(paid), known) {
                *known = Some(known.map_or(effort, |known: i64| known.min(effort)));
            }
        }
        let all = efforts.iter().flatten().flatten().min();
        let all = all.and_then(|effort| paid(*effort));
        let all = all.ok_or(Unsolvable::Impossible)?;
        Ok(LeastEfforts { all, with })
    }

    /// The replacements of a choice, rising.
    pub fn taken(&self, choice: &[usize]) -> Vec<usize> {
        let values = self.begins.iter().zip(choice);
        let mut taken: Vec<usize> = values
            .filter_map(|(begins, &value)| begins.get(value).copied().flatten())
            .collect();
        taken.sort_unstable();
        taken
    }
}

/// The least efforts of choices.
pub(super) struct LeastEfforts {
    /// Of all of them.
    pub all: i64,
    /// Of those that take each replacement, if there are any.
    pub with: Vec<Option<i64>>,
}

impl StateSpace {
    /// The model in which taking a replacement costs its toll and weighs so much, and only what `allows` is
    /// there; a replacement that is `demanded` leaves nothing beside it. Where tolls are negative, all values
    /// of a moment cost as much more as the least of them falls short of nothing.
    pub fn model(
        &self,
        tolls: &[i64],
        weight: impl Fn(usize) -> u32,
        allows: impl Fn(usize) -> bool,
        demanded: &[usize],
    ) -> WeightedPage {
        let mut page = WeightedPage::default();
        for states in &self.moments {
            let here = |of: usize| states.iter().any(|state| state.of == Some(of));
            let alone = demanded.iter().copied().find(|of| here(*of));
            let kept = states.iter().filter(|state| match (alone, state.of) {
                (Some(alone), of) => of == Some(alone),
                (None, of) => of.is_none_or(&allows),
            });
            let kept: Vec<(&PartState, i64)> =
                kept.map(|state| (state, state.toll(tolls))).collect();
            let least = kept.iter().map(|(_, toll)| *toll).min();
            let raised = -least.unwrap_or_default().min(0);
            let values = kept.iter().map(|(state, toll)| Value {
                weight: state.begun().map_or(0, &weight),
                ..state.charged(toll.saturating_add(raised))
            });
            let domain = page.model.domain(values);
            page.model.variable(domain, 1);
            page.raised += raised;
            let begins = kept.iter().map(|(state, _)| state.begun());
            page.begins.push(begins.collect());
        }
        for edge in &self.edges {
            page.model.edge(*edge);
        }
        page
    }

    /// How many values all moments have together with some of the replacements.
    pub fn values(&self, allows: impl Fn(usize) -> bool) -> usize {
        let states = self.moments.iter().flatten();
        states.filter(|state| state.of.is_none_or(&allows)).count()
    }

    /// How many replacements there are, by the last that has a state.
    pub fn replacements(&self) -> usize {
        let of = self.moments.iter().flatten().filter_map(|state| state.of);
        of.max().map_or(0, |last| last + 1)
    }
}

impl PartState {
    /// The replacement that begins with it.
    fn begun(&self) -> Option<usize> {
        self.of.filter(|_| self.begins)
    }

    fn toll(&self, tolls: &[i64]) -> i64 {
        let toll = self.begun().and_then(|of| tolls.get(of));
        toll.copied().unwrap_or_default()
    }

    /// Its value with so much added, 0 or more.
    fn charged(&self, toll: i64) -> Value {
        let toll = u32::try_from(toll).unwrap_or(u32::MAX);
        Value {
            effort: self.value.effort.saturating_add(toll),
            ..self.value.clone()
        }
    }
}

/// Lays a page out.
pub(super) fn laid_out(
    page: &SpannedPage<'_>,
    settings: &Settings,
    cache: &mut Cache,
) -> StateSpace {
    let range = settings.voicing.hand.range;
    let mut draft = StateBuilder {
        outlook: Outlook::of(page),
        centre: i32::from(range.low().midi()) + i32::from(range.high().midi()),
        page,
        held: Vec::new(),
    };
    let moments = 0..page.moments.len();
    StateSpace {
        moments: moments
            .map(|at| draft.states(at, settings, cache))
            .collect(),
        edges: edges(page, settings, &draft.outlook),
    }
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
        let (mut states, mut held) = (Vec::new(), Vec::new());
        for (at, part) in self.page.here(moment) {
            let fresh = part.moments.start == moment;
            for view in self.outlook.views(at, part) {
                let voicings = self.voicings(part, view, settings, cache);
                for (number, voicing) in voicings.iter().enumerate() {
                    let Some(value) = value(voicing, self.centre) else {
                        continue;
                    };
                    let this = Held {
                        part: at,
                        view,
                        voicing: number,
                    };
                    let into = self.arriving(part, this, moment);
                    let out = match part.moments.end > moment + 1 {
                        true => {
                            held.push(this);
                            self.outlook.count(moment) + held.len() - 1
                        }
                        false => view,
                    };
                    let value = if fresh { value } else { held_on(value) };
                    let begins = fresh && part.of.is_some_and(|(_, number)| number == 0);
                    states.push(PartState {
                        value: Value {
                            into: boundary(into),
                            out: boundary(out),
                            ..self.visited(value, moment)
                        },
                        of: part.of.map(|(replacement, _)| replacement),
                        begins,
                    });
                }
            }
        }
        self.held = held;
        states
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

    /// The number by which a value joins what is before it.
    fn arriving(&self, part: &PossibleChord<'a>, this: Held, moment: usize) -> usize {
        if part.moments.start == moment {
            return self.outlook.before(this.part, part, this.view);
        }
        let held = self.held.iter().position(|held| *held == this);
        self.outlook.count(moment - 1) + held.unwrap_or_default()
    }

    fn voicings(
        &self,
        part: &PossibleChord<'a>,
        view: usize,
        settings: &Settings,
        cache: &mut Cache,
    ) -> Vec<Voicing> {
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
        found.map(|found| found.to_vec()).unwrap_or_default()
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
