//! The graph made ready for elimination: parallel steps merged, and slots
//! that have only one candidate folded into their neighbours.
//!
//! A slot without a choice needs no table: what its steps cost is a cost of its
//! neighbours' candidates alone. Folding such slots away keeps tables small
//! where much is given.

use super::cost::{IMPOSSIBLE, Key, step_key};
use super::graph::GraphStep;
use super::packed::Packed;
use super::{Layer, StepRule, Unsolvable, step};
use std::collections::BTreeMap;

/// All steps between one pair of slots.
#[derive(Clone, Copy, Debug)]
pub(super) struct Link {
    pub(super) ends: (usize, usize),
    pub(super) times: u64,
    pub(super) rule: StepRule,
}

impl Link {
    pub(super) fn other(&self, slot: usize) -> usize {
        if self.ends.0 == slot {
            self.ends.1
        } else {
            self.ends.0
        }
    }

    fn absorb(&mut self, step: &GraphStep) {
        let stricter = |a: Option<u16>, b: Option<u16>| match (a, b) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        self.times += step.times;
        self.rule = StepRule {
            max_entry_step: stricter(self.rule.max_entry_step, step.rule.max_entry_step),
            max_top_step: stricter(self.rule.max_top_step, step.rule.max_top_step),
        };
    }

    /// What the link costs between two rows, or [`IMPOSSIBLE`].
    pub(super) fn key(&self, a: &[i16], b: &[i16]) -> Key {
        let taken = step(a, b);
        if self.rule.is_free() || self.rule.allows(a, b, taken) {
            step_key(taken) * Key::from(self.times)
        } else {
            IMPOSSIBLE
        }
    }
}

/// Two costs together, of which either may be [`IMPOSSIBLE`].
#[inline]
pub(super) fn join(a: Key, b: Key) -> Key {
    (a + b).min(IMPOSSIBLE)
}

/// Slots, their candidates' own costs, and the links between them.
#[derive(Debug)]
pub(super) struct Network {
    pub(super) packed: Packed,
    /// In order of their ends, so that nothing depends on luck.
    pub(super) links: Vec<Link>,
    own: Vec<Key>,
}

impl Network {
    pub(super) fn new(
        layers: &[Layer],
        centre: i32,
        visits: &[u64],
        steps: &[GraphStep],
    ) -> Result<Network, Unsolvable> {
        let packed = Packed::new(layers, centre)?;
        let sum = |mut times: Box<dyn Iterator<Item = u64> + '_>| {
            times
                .try_fold(0u64, u64::checked_add)
                .ok_or(Unsolvable::TooLarge)
        };
        let all_steps = sum(Box::new(steps.iter().map(|step| step.times)))?;
        packed
            .bound
            .check(all_steps, sum(Box::new(visits.iter().copied()))?)?;
        let own = (0..packed.len()).flat_map(|slot| {
            let times = Key::from(visits.get(slot).copied().unwrap_or(0));
            let candidates = packed.span(slot);
            let packed = &packed;
            candidates.map(move |candidate| packed.off_centre(candidate) * times)
        });
        let own = own.collect();
        Ok(Network {
            links: merge(steps, packed.len())?,
            packed,
            own,
        })
    }

    /// Where the link's cost is least, over all pairs of candidates.
    pub(super) fn least(&self, link: &Link) -> Key {
        let (a, b) = (self.packed.span(link.ends.0), self.packed.span(link.ends.1));
        let pairs = a.flat_map(|a| b.clone().map(move |b| (a, b)));
        let keys = pairs.map(|(a, b)| link.key(self.packed.row(a), self.packed.row(b)));
        keys.min().unwrap_or(IMPOSSIBLE)
    }

    /// What a whole choice costs.
    pub(super) fn cost(&self, choice: &[usize]) -> Key {
        let candidate = |slot: usize| self.packed.span(slot).start + choice[slot];
        let own = (0..choice.len()).map(|slot| self.own[candidate(slot)]);
        let row = |slot: usize| self.packed.row(candidate(slot));
        let steps = self
            .links
            .iter()
            .map(|link| link.key(row(link.ends.0), row(link.ends.1)));
        own.chain(steps).fold(0, join)
    }
}

fn merge(steps: &[GraphStep], slots: usize) -> Result<Vec<Link>, Unsolvable> {
    let mut merged: BTreeMap<(usize, usize), Link> = BTreeMap::new();
    for step in steps {
        let ends = (step.from.min(step.to), step.from.max(step.to));
        if ends.1 >= slots {
            return Err(Unsolvable::NoSuchLayer { layer: ends.1 });
        }
        // From a row to itself nothing moves, and no rule is broken.
        if ends.0 != ends.1 && step.times > 0 {
            let empty = Link {
                ends,
                times: 0,
                rule: StepRule::FREE,
            };
            merged.entry(ends).or_insert(empty).absorb(step);
        }
    }
    Ok(merged.into_values().collect())
}

/// A network with some slots held at a candidate, and those folded away.
#[derive(Debug)]
pub(super) struct Folded<'a> {
    pub(super) network: &'a Network,
    /// The candidate of each slot that is held.
    pub(super) held: Vec<Option<usize>>,
    /// What each candidate of an open slot costs by itself.
    pub(super) own: Vec<Key>,
    /// What the held slots cost among themselves.
    pub(super) constant: Key,
    /// For each open slot, its links to other open slots.
    pub(super) links: Vec<Vec<usize>>,
}

impl<'a> Folded<'a> {
    /// Folds away the slots with a single candidate and those held; considers
    /// the links that `keep` names.
    pub(super) fn new(
        network: &'a Network,
        mut held: Vec<Option<usize>>,
        keep: impl Fn(usize) -> bool,
    ) -> Folded<'a> {
        let packed = &network.packed;
        for (slot, held) in held.iter_mut().enumerate() {
            if packed.span(slot).len() == 1 {
                *held = Some(0);
            }
        }
        let mut folded = Folded {
            network,
            own: network.own.clone(),
            constant: 0,
            links: vec![Vec::new(); held.len()],
            held,
        };
        for index in (0..network.links.len()).filter(|&index| keep(index)) {
            folded.fold_link(index);
        }
        for (slot, held) in folded.held.iter().enumerate() {
            if let Some(candidate) = held {
                let own = network.own[packed.span(slot).start + candidate];
                folded.constant = join(folded.constant, own);
            }
        }
        folded
    }

    fn fold_link(&mut self, index: usize) {
        let link = &self.network.links[index];
        let (a, b) = link.ends;
        match (self.held[a], self.held[b]) {
            (None, None) => {
                self.links[a].push(index);
                self.links[b].push(index);
            }
            (Some(candidate), None) => self.fold_into(link, (a, candidate), b),
            (None, Some(candidate)) => self.fold_into(link, (b, candidate), a),
            (Some(x), Some(y)) => {
                let packed = &self.network.packed;
                let (x, y) = (packed.span(a).start + x, packed.span(b).start + y);
                self.constant = join(self.constant, link.key(packed.row(x), packed.row(y)));
            }
        }
    }

    fn fold_into(&mut self, link: &Link, held: (usize, usize), open: usize) {
        let packed = &self.network.packed;
        let row = packed.row(packed.span(held.0).start + held.1);
        for candidate in packed.span(open) {
            let key = link.key(row, packed.row(candidate));
            self.own[candidate] = join(self.own[candidate], key);
        }
    }

    /// How many candidates an open slot has.
    pub(super) fn size(&self, slot: usize) -> usize {
        self.network.packed.span(slot).len()
    }
}
