//! The exact plan over a chain of layers, or over a loop of them.
//!
//! [`Chain::solve`] is the heart; its documentation is the proof. What every
//! single candidate costs is in [`prices`](super::prices), slots that sound more
//! than once are in [`graph`](super::graph).

use super::columns::Columns;
use super::cost::{IMPOSSIBLE, Key, unpack};
use super::packed::Packed;
use super::relax::{Best, Edge, Scratch, pair_key, relax};
use super::{Cost, Layer, StepRule, Unsolvable};

/// Slots that follow one another, each with its candidates.
#[derive(Clone, Debug)]
pub struct Chain<'a> {
    layers: &'a [Layer],
    centre: i32,
    looped: bool,
    rules: Vec<StepRule>,
}

/// One candidate for every slot, and what they cost together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// The index of the candidate taken in each slot.
    pub choice: Vec<usize>,
    /// The cost of this choice.
    pub cost: Cost,
}

impl<'a> Chain<'a> {
    /// A chain over these layers, without rules and without a way back.
    ///
    /// `centre` is the sum of the ends of the range the rows should lie around
    /// (see [`Row::off_centre`](super::Row::off_centre)).
    pub fn new(layers: &'a [Layer], centre: i32) -> Chain<'a> {
        Chain {
            layers,
            centre,
            looped: false,
            rules: Vec::new(),
        }
    }

    /// Whether the step from the last slot back to the first counts too. With
    /// a single slot that is the step from a row to itself, which is nothing.
    pub fn looped(mut self, looped: bool) -> Self {
        self.looped = looped;
        self
    }

    /// Sets the rule for the step that leaves slot `from`; the step that
    /// leaves the last slot is the one back to the first.
    pub fn rule(mut self, from: usize, rule: StepRule) -> Self {
        if self.rules.len() <= from {
            self.rules.resize(from + 1, StepRule::FREE);
        }
        self.rules[from] = rule;
        self
    }

    /// Sets the same rule for every step.
    pub fn rule_everywhere(mut self, rule: StepRule) -> Self {
        self.rules = vec![rule; self.layers.len()];
        self
    }

    /// The plan of least cost.
    ///
    /// # The cost
    ///
    /// With a row r(t) chosen for every slot t of n, the cost is, compared in
    /// this order,
    ///
    /// 1. the sum of the motions of [`step`](super::step)(r(t), r(t+1)),
    /// 2. the sum of their largest single distances,
    /// 3. the sum of the rows' distances from the centre,
    /// 4. the choice itself: of all plans with the least cost the result is the
    ///    one that takes the lowest index in the first slot where they differ.
    ///
    /// The sums of 1 and 2 run over the n - 1 steps, and over the step from
    /// r(n-1) to r(0) as well if the chain is [looped](Chain::looped).
    ///
    /// # Example
    ///
    /// Single numbers, starting at 0. Taking what is nearest goes up to 2, but
    /// then has to come all the way down: 2 + 7 + 5 = 14. The least motion
    /// takes the longer first step: 3 + 2 + 5 = 10. (In the third slot only -5
    /// can be had, in the fourth -10 or 5.)
    ///
    /// ```
    /// use compline::plan::{Chain, Cost, Layer, Row, nearest};
    ///
    /// let layer = |rows: &[i16]| -> Layer {
    ///     rows.iter().filter_map(|&entry| Row::new(vec![entry])).collect()
    /// };
    /// let layers = [layer(&[0]), layer(&[2, -3]), layer(&[-5]), layer(&[-10, 5])];
    ///
    /// let greedy = nearest(&layers, 0)?;
    /// assert_eq!(greedy.choice, [0, 0, 0, 0]);
    /// assert_eq!(greedy.cost, Cost { motion: 14, largest: 14, off_centre: 34 });
    ///
    /// let plan = Chain::new(&layers, 0).solve()?;
    /// assert_eq!(plan.choice, [0, 1, 0, 0]);
    /// assert_eq!(plan.cost, Cost { motion: 10, largest: 10, off_centre: 36 });
    /// # Ok::<(), compline::plan::Unsolvable>(())
    /// ```
    ///
    /// # Why it is exact
    ///
    /// There are k₀ · k₁ · … plans for layers of k₀, k₁, … candidates: 4 above,
    /// but 8^32 for a page of music. They need not be tried one by one.
    /// Let V(t, i) be the least cost of slots t, t+1, …, n-1 when slot t
    /// takes its candidate i. What comes after slot t depends on what came
    /// before it only through i; and costs are added field by field and
    /// compared lexicographically, so that adding the same step to two costs
    /// never changes which is less. Hence
    ///
    /// V(n-1, i) = off(i), and
    /// V(t, i) = off(i) + min over j of (step(i, j) + V(t+1, j)).
    ///
    /// The least V(0, i) is the least cost of all. Walking forward from the
    /// lowest such i, always to the lowest j that attains the minimum, gives
    /// the lexicographically least of all best choices.
    ///
    /// In a loop every plan takes some candidate c of the smallest layer.
    /// With c held the loop is a chain from c to c, so the least over all c
    /// is exact. To keep the order among equals, these chains only decide the
    /// first slot; with the first slot held the loop is one chain, solved as above.
    ///
    /// # Complexity
    ///
    /// k(t) · k(t+1) steps are computed between neighbouring slots, each once:
    /// time in proportion to the length, memory of one number for each
    /// candidate. A loop takes as many passes as its smallest layer has
    /// candidates, and one more.
    ///
    /// # Errors
    ///
    /// [`Unsolvable::EmptyLayer`] if a slot has no candidates;
    /// [`Unsolvable::NoPath`] or [`Unsolvable::NoRoundTrip`] if the rules leave
    /// no plan; [`Unsolvable::TooLarge`] if a cost might not fit (more than a million
    /// slots at the full width of the entries). No layers at all are no
    /// error: the plan is then empty and costs nothing.
    pub fn solve(&self) -> Result<Plan, Unsolvable> {
        let passes = self.passes()?;
        match passes.packed.len() {
            0 => Ok(Plan::default()),
            1 => passes.solve_open(),
            _ if self.looped => passes.solve_loop(),
            _ => passes.solve_open(),
        }
    }

    pub(super) fn is_loop(&self) -> bool {
        self.looped && self.layers.len() > 1
    }

    pub(super) fn passes(&self) -> Result<Passes<'_>, Unsolvable> {
        let packed = Packed::new(self.layers, self.centre)?;
        let length = self.layers.len() as u64;
        packed.bound.check(length, length)?;
        Ok(Passes {
            fits: Columns::fit(&packed),
            packed,
            rules: &self.rules,
        })
    }
}

/// Passes of the recurrence over packed layers, in either direction and round
/// the corner. Values of all candidates lie in one array.
pub(super) struct Passes<'a> {
    pub(super) packed: Packed,
    /// Whether the rows fit columns.
    fits: bool,
    rules: &'a [StepRule],
}

/// The direction of a pass.
#[derive(Clone, Copy)]
pub(super) enum Toward {
    /// From later slots to earlier ones, as in the proof of [`Chain::solve`].
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

    fn solve_open(&self) -> Result<Plan, Unsolvable> {
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

    fn solve_loop(&self) -> Result<Plan, Unsolvable> {
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
