//! Passes of the recurrence over packed layers, in either direction and round
//! the corner.
//!
//! A pass hands values from layer to layer. Whoever wants the best plan notes the
//! ways ([`Passes::solve_open`], [`Passes::solve_loop`]); whoever wants the values
//! of all candidates keeps them ([`Passes::carry`]). Why the result is exact is said
//! at [`Chain::solve`](super::Chain::solve), how one layer's values come about
//! in [`relax`](super::relax).

use super::chain::Plan;
use super::cost::{IMPOSSIBLE, Key, unpack};
use super::packed::Packed;
use super::relax::{Best, Edge, Scratch, pair_key, relax};
use super::{Cost, StepRule, Unsolvable};

/// Layers to pass over.
pub(super) struct Passes<'a> {
    pub(super) packed: Packed,
    /// Whether the rows fit columns.
    pub(super) fits: bool,
    pub(super) rules: &'a [StepRule],
}

/// The direction of a pass.
#[derive(Clone, Copy)]
pub(super) enum Toward {
    /// From later slots to earlier ones, as in the proof of
    /// [`Chain::solve`](super::Chain::solve).
    First,
    /// From earlier slots to later ones.
    Last,
}

impl Passes<'_> {
    fn rule(&self, from: usize) -> StepRule {
        self.rules.get(from).copied().unwrap_or(StepRule::FREE)
    }

    /// An array for the values of all candidates.
    pub(super) fn values(&self) -> Vec<Key> {
        vec![IMPOSSIBLE; self.packed.candidates()]
    }

    /// Starts a pass at a layer whose choice is open.
    pub(super) fn open(&self, layer: usize, values: &mut [Key]) {
        let span = self.packed.span(layer);
        for candidate in span {
            values[candidate] = self.packed.off_centre(candidate);
        }
    }

    /// Starts a pass at a candidate that is held; its own distance from the
    /// centre is left out.
    pub(super) fn hold(&self, layer: usize, candidate: usize, values: &mut [Key]) {
        let span = self.packed.span(layer);
        values[span.clone()].fill(IMPOSSIBLE);
        values[span.start + candidate] = 0;
    }

    /// Carries the values of layer `start` over the next `steps` layers.
    ///
    /// # Errors
    ///
    /// The two slots between which the way ends.
    pub(super) fn carry(
        &self,
        values: &mut [Key],
        start: usize,
        steps: usize,
        toward: Toward,
    ) -> Result<(), Unsolvable> {
        let mut before = values[self.packed.span(start)].to_vec();
        self.carry_on(&mut before, start, steps, toward, |target, best| {
            for (value, best) in values[self.packed.span(target)].iter_mut().zip(best) {
                *value = best.value;
            }
        })
    }

    /// Carries the values of layer `start`, which are given alone, over the
    /// next `steps` layers and leaves those of the last one. Of each layer it
    /// tells what is best.
    fn carry_on(
        &self,
        values: &mut Vec<Key>,
        start: usize,
        steps: usize,
        toward: Toward,
        mut tell: impl FnMut(usize, &[Best]),
    ) -> Result<(), Unsolvable> {
        let (mut scratch, mut out) = (Scratch::default(), Vec::new());
        let mut source = start;
        for _ in 0..steps {
            let (edge, from) = self.edge(source, toward);
            if !relax(edge, values, &mut out, &mut scratch) {
                let to = (from + 1) % self.packed.len();
                return Err(Unsolvable::NoPath { from, to });
            }
            tell(edge.target, &out);
            values.clear();
            values.extend(out.iter().map(|best| best.value));
            source = edge.target;
        }
        Ok(())
    }

    /// The edge by which values leave a layer, and the slot that its rule
    /// belongs to.
    fn edge(&self, source: usize, toward: Toward) -> (Edge<'_>, usize) {
        let length = self.packed.len();
        let before = || (source + length - 1) % length;
        let (target, from) = match toward {
            Toward::First => (before(), before()),
            Toward::Last => ((source + 1) % length, source),
        };
        let edge = Edge {
            packed: &self.packed,
            fits: self.fits,
            source,
            target,
            rule: self.rule(from),
        };
        (edge, from)
    }

    pub(super) fn solve_open(&self) -> Result<Plan, Unsolvable> {
        let last = self.packed.len() - 1;
        let own = self.packed.span(last);
        let mut values = own
            .map(|candidate| self.packed.off_centre(candidate))
            .collect();
        let ways = self.ways(&mut values, last, last)?;
        let (first, cost) = least(&values);
        let cost = unpack(cost);
        Ok(self.walk(&ways, vec![first], cost))
    }

    pub(super) fn solve_loop(&self) -> Result<Plan, Unsolvable> {
        let (first, cost) = least(&self.first_slot_in_loop()?);
        if cost >= IMPOSSIBLE {
            // A gap on the way is the better news than no way back.
            self.solve_open()?;
            return Err(Unsolvable::NoRoundTrip);
        }
        let mut values = vec![IMPOSSIBLE; self.packed.span(0).len()];
        values[first] = 0;
        let ways = self.ways(&mut values, 0, self.packed.len() - 1)?;
        let second = self.next(self.packed.row(first), 1, &values);
        Ok(self.walk(&ways, vec![first, second], unpack(cost)))
    }

    /// For every candidate, which one of the next slot is the first of the
    /// cheapest to go on with, from values carried toward the first slot.
    fn ways(
        &self,
        values: &mut Vec<Key>,
        start: usize,
        steps: usize,
    ) -> Result<Vec<u32>, Unsolvable> {
        let mut ways = vec![0; self.packed.candidates()];
        self.carry_on(values, start, steps, Toward::First, |target, best| {
            for (way, best) in ways[self.packed.span(target)].iter_mut().zip(best) {
                *way = best.next;
            }
        })?;
        Ok(ways)
    }

    /// What the best loop through each candidate of the first slot costs.
    fn first_slot_in_loop(&self) -> Result<Vec<Key>, Unsolvable> {
        let smallest = self.smallest_layer();
        let mut onward = self.values();
        let mut back = self.values();
        let mut totals = vec![IMPOSSIBLE; self.packed.span(0).len()];
        for candidate in 0..self.packed.span(smallest).len() {
            self.hold(smallest, candidate, &mut onward);
            self.hold(smallest, candidate, &mut back);
            // A held candidate may have no way round; others may.
            let steps = self.packed.len() - smallest;
            if smallest == 0 {
                totals[candidate] = self.close(&mut back);
            } else if self
                .carry(&mut onward, smallest, steps, Toward::Last)
                .is_ok()
                && self
                    .carry(&mut back, smallest, smallest, Toward::First)
                    .is_ok()
            {
                let held = self
                    .packed
                    .off_centre(self.packed.span(smallest).start + candidate);
                for (index, total) in totals.iter_mut().enumerate() {
                    let twice = onward[index] + back[index];
                    let once = twice - self.packed.off_centre(index);
                    *total = (*total).min(once + held);
                }
            }
        }
        Ok(totals)
    }

    /// The cost of the best loop through the candidate held in the first slot.
    fn close(&self, values: &mut [Key]) -> Key {
        let length = self.packed.len();
        let span = self.packed.span(0);
        let held = least(&values[span.clone()]).0;
        if self.carry(values, 0, length - 1, Toward::First).is_err() {
            return IMPOSSIBLE;
        }
        let row = self.packed.row(span.start + held);
        let ways = self
            .packed
            .span(1)
            .map(|next| pair_key(row, self.packed.row(next), self.rule(0), values[next]));
        let best = ways.min().unwrap_or(IMPOSSIBLE);
        (best + self.packed.off_centre(span.start + held)).min(IMPOSSIBLE)
    }

    /// The first of the layers with the fewest candidates.
    pub(super) fn smallest_layer(&self) -> usize {
        let sizes = 0..self.packed.len();
        sizes
            .min_by_key(|&layer| self.packed.span(layer).len())
            .unwrap_or(0)
    }

    /// Follows the ways from the last slot that is chosen to the last of all.
    fn walk(&self, ways: &[u32], mut choice: Vec<usize>, cost: Cost) -> Plan {
        choice.reserve(self.packed.len() - choice.len());
        for layer in choice.len()..self.packed.len() {
            let before = self.packed.span(layer - 1).start + choice[layer - 1];
            choice.push(ways[before] as usize);
        }
        Plan { choice, cost }
    }

    /// The first of the candidates that are cheapest to go on with.
    fn next(&self, row: &[i16], layer: usize, values: &[Key]) -> usize {
        let rule = self.rule(layer - 1);
        let rows = self
            .packed
            .span(layer)
            .map(|candidate| self.packed.row(candidate));
        let mut best = (0, IMPOSSIBLE);
        for (index, (other, &value)) in rows.zip(values).enumerate() {
            // A step costs nothing at best, so most can be passed over.
            if value < best.1 {
                let whole = pair_key(row, other, rule, value);
                best = if whole < best.1 { (index, whole) } else { best };
            }
        }
        best.0
    }
}

/// The first of the least values, with its index.
fn least(values: &[Key]) -> (usize, Key) {
    let keyed = values.iter().copied().enumerate();
    keyed
        .min_by_key(|&(_, value)| value)
        .unwrap_or((0, IMPOSSIBLE))
}
