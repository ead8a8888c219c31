//! The exact plan over a chain of layers, or over a loop of them.
//!
//! [`Chain::solve`] is the heart; its documentation is the proof, and
//! [`passes`](super::passes) does the work. What every single candidate costs is in
//! [`prices`](super::prices), slots that sound more than once are in
//! [`graph`](super::graph).

use super::columns::Columns;
use super::packed::Packed;
use super::passes::Passes;
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
    /// the lexicographically least of all best choices. This j is noted for
    /// every i while the minimum is taken, so the values themselves can be
    /// forgotten.
    ///
    /// In a loop every plan takes some candidate c of the smallest layer.
    /// With c held the loop is a chain from c to c, so the least over all c
    /// is exact. To keep the order among equals, these chains only decide the
    /// first slot; with the first slot held the loop is one chain, solved as above.
    ///
    /// # Complexity
    ///
    /// The motions of k(t) · k(t+1) steps are computed between neighbouring
    /// slots, each once: time in proportion to the length. Without rules, and
    /// with entries at most 255 apart, sixteen motions are computed at a time, and
    /// only the steps that share the least motion are looked at further.
    ///
    /// Memory is in proportion too: two bytes for each entry, eight for each
    /// candidate, and what two neighbouring slots need. A loop takes as many
    /// passes as its smallest layer has candidates, and one more.
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
