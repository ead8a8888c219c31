//! The page laid out: for every moment what may stand there, and the models that are made of it.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::optimise::{Budget, Edge, Model, Unsolvable, Value};

/// The page laid out: for every moment its states, and the ways between them.
pub(super) struct StateSpace {
    pub moments: Vec<Vec<PartState>>,
    pub edges: Vec<Edge>,
}

/// A voicing of a part, with what lies ahead of it.
#[derive(Clone)]
pub(super) struct PartState {
    /// Its costs are those of all its visits together: a replacement is charged once, not each time.
    pub value: Value,
    /// The replacement it belongs to.
    pub of: Option<usize>,
    /// Whether that begins with it.
    pub begins: bool,
    /// States of a moment with one number differ in their voicings alone.
    pub kind: usize,
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
    /// Adds the next moment, where these of its states are there, each with the toll it pays, and begun replacements
    /// weigh so much. Where tolls are negative, all values of the moment cost as much more as the least of them falls
    /// short of nothing.
    pub fn add<'s>(
        &mut self,
        states: impl Iterator<Item = &'s PartState>,
        tolls: &[i64],
        weight: impl Fn(usize) -> u32,
    ) {
        let kept: Vec<(&PartState, i64)> = states.map(|state| (state, state.toll(tolls))).collect();
        let least = kept.iter().map(|(_, toll)| *toll).min();
        let raised = -least.unwrap_or_default().min(0);
        let values = kept.iter().map(|(state, toll)| Value {
            weight: state.begun().map_or(0, &weight),
            ..state.charged(toll.saturating_add(raised))
        });
        let domain = self.model.domain(values);
        self.model.variable(domain, 1);
        self.raised += raised;
        let begins = kept.iter().map(|(state, _)| state.begun());
        self.begins.push(begins.collect());
    }

    /// The least efforts of choices, tolls paid.
    pub fn least_efforts(&self) -> Result<LeastEfforts, Unsolvable> {
        let efforts = self.model.least_efforts(Budget::default())?;
        let paid = |effort: u64| Some(i64::try_from(effort).ok()? - self.raised);
        let moment =
            |efforts: Vec<Option<u64>>| efforts.into_iter().map(|effort| paid(effort?)).collect();
        let each: Vec<Vec<Option<i64>>> = efforts.into_iter().map(moment).collect();
        let all = each.iter().flatten().flatten().min().copied();
        let all = all.ok_or(Unsolvable::Impossible)?;
        Ok(LeastEfforts { all, each })
    }

    /// Of efforts for each value the least for each of so many replacements.
    pub fn by_replacement(
        &self,
        efforts: &[Vec<Option<i64>>],
        replacements: usize,
    ) -> Vec<Option<i64>> {
        let mut with = vec![None; replacements];
        for (effort, begun) in efforts.iter().flatten().zip(self.begins.iter().flatten()) {
            let known = begun.and_then(|of| with.get_mut(of));
            if let (Some(effort), Some(known)) = (*effort, known) {
                *known = Some(known.map_or(effort, |known: i64| known.min(effort)));
            }
        }
        with
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
    /// Of those with each value of each moment, if there are any.
    pub each: Vec<Vec<Option<i64>>>,
}

impl StateSpace {
    /// The model in which taking a replacement costs its toll and weighs so much, and only what `allows` is
    /// there; a replacement that is `demanded` leaves nothing beside it.
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
            page.add(kept, tolls, &weight);
        }
        for edge in &self.edges {
            page.model.edge(*edge);
        }
        page
    }

    /// The page with those of its states only that are kept; each is asked about with its number for its
    /// moment.
    pub fn only(&self, keeps: impl Fn((usize, usize), &PartState) -> bool) -> Self {
        let moments = self.moments.iter().enumerate().map(|(moment, states)| {
            let states = states.iter().enumerate();
            let kept = states.filter(|(number, state)| keeps((moment, *number), state));
            kept.map(|(_, state)| state.clone()).collect()
        });
        Self {
            moments: moments.collect(),
            edges: self.edges.clone(),
        }
    }

    /// The moments of each replacement.
    pub fn spans(&self) -> BTreeMap<usize, Range<usize>> {
        let mut spans: BTreeMap<usize, Range<usize>> = BTreeMap::new();
        for (moment, states) in self.moments.iter().enumerate() {
            for of in states.iter().filter_map(|state| state.of) {
                spans.entry(of).or_insert(moment..moment).end = moment + 1;
            }
        }
        spans
    }

    /// How many values all moments have together.
    pub fn values(&self) -> usize {
        self.moments.iter().map(Vec::len).sum()
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
