//! The exact plan when slots sound more than once but are decided only once.
//!
//! A performance walks over the slots: repeats, endings and jumps lead it to
//! some of them several times. [`Graph`] adds the walk up into visits and
//! steps; how the least cost is found is told in
//! [`elimination`](super::elimination), what happens to graphs that are too
//! entangled for it in [`relaxed`](super::relaxed).

use super::cost::{IMPOSSIBLE, unpack};
use super::elimination::Elimination;
use super::network::{Folded, Network};
use super::{Cost, Layer, StepRule, Unsolvable, order, relaxed};
use std::collections::BTreeMap;

/// A step of the performance from one slot to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GraphStep {
    /// The slot it leaves, counted from 0.
    pub from: usize,
    /// The slot it reaches.
    pub to: usize,
    /// How often the performance takes it.
    pub times: u64,
    /// What the two rows must fulfil.
    pub rule: StepRule,
}

/// How much work an exact plan may cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Budget {
    /// The most combinations of candidates that may be looked at to eliminate
    /// one slot: its own candidates times those of its neighbours. Memory is
    /// at most 16 bytes for each, and less by the number of own candidates.
    pub cells: u64,
}

impl Default for Budget {
    /// 2^24 combinations: six entangled slots of sixteen candidates.
    fn default() -> Budget {
        Budget { cells: 1 << 24 }
    }
}

/// Slots that a performance visits in any order, each decided once.
#[derive(Clone, Debug)]
pub struct Graph<'a> {
    layers: &'a [Layer],
    centre: i32,
    visits: Vec<u64>,
    steps: Vec<GraphStep>,
}

/// One candidate for every slot, and how sure it is that none is cheaper.
///
/// Always `lower_bound` <= least possible cost <= `cost`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GraphPlan {
    /// The index of the candidate taken in each slot.
    pub choice: Vec<usize>,
    /// The cost of this choice over the whole performance.
    pub cost: Cost,
    /// What any choice costs at least. Equal to `cost` if that is proved least.
    pub lower_bound: Cost,
    /// Whether the cost is proved to be the least; in a ranking, whether the
    /// place is proved.
    pub optimal: bool,
    /// How many neighbours the most entangled slot had when it was eliminated
    /// (1 on a chain, 2 on a loop); if that was too many, the least number
    /// among those left.
    pub width: usize,
}

impl<'a> Graph<'a> {
    /// A graph of these slots: `visits` says how often each of them sounds (and
    /// counts its distance from the centre so often; a slot without a number
    /// never sounds), `steps` what the performance moves over. Steps between
    /// the same two slots, in either direction, are added up, and all
    /// their rules hold. A step from a slot to itself costs nothing.
    pub fn new(
        layers: &'a [Layer],
        centre: i32,
        visits: Vec<u64>,
        steps: Vec<GraphStep>,
    ) -> Graph<'a> {
        Graph {
            layers,
            centre,
            visits,
            steps,
        }
    }

    /// The graph of a performance that plays the slots in this order, once
    /// through or round and round.
    ///
    /// ```
    /// use compline::plan::Graph;
    ///
    /// // Two slots, repeated: the step between them is taken three times.
    /// let graph = Graph::from_walk(&[], 0, &[0, 1, 0, 1], false);
    /// assert_eq!(graph.visits(), [2, 2]);
    /// assert_eq!(graph.steps().iter().map(|step| step.times).sum::<u64>(), 3);
    /// ```
    pub fn from_walk(
        layers: &'a [Layer],
        centre: i32,
        played: &[usize],
        looped: bool,
    ) -> Graph<'a> {
        let slots = played
            .iter()
            .max()
            .map_or(0, |last| last + 1)
            .max(layers.len());
        let mut visits = vec![0; slots];
        played.iter().for_each(|&slot| visits[slot] += 1);
        let mut times: BTreeMap<(usize, usize), u64> = BTreeMap::new();
        let onward = played.windows(2).map(|pair| (pair[0], pair[1]));
        let back = played.last().copied().zip(played.first().copied());
        for pair in onward.chain(back.filter(|_| looped)) {
            *times.entry(pair).or_default() += 1;
        }
        let step = |((from, to), times)| GraphStep {
            from,
            to,
            times,
            rule: StepRule::FREE,
        };
        Graph::new(
            layers,
            centre,
            visits,
            times.into_iter().map(step).collect(),
        )
    }

    /// Sets the same rule for every step.
    pub fn rule_everywhere(mut self, rule: StepRule) -> Self {
        self.steps.iter_mut().for_each(|step| step.rule = rule);
        self
    }

    /// Sets the rule of all steps between two slots, in both directions.
    pub fn rule(mut self, a: usize, b: usize, rule: StepRule) -> Self {
        let between = |step: &&mut GraphStep| [(a, b), (b, a)].contains(&(step.from, step.to));
        self.steps
            .iter_mut()
            .filter(between)
            .for_each(|step| step.rule = rule);
        self
    }

    /// How often each slot sounds.
    pub fn visits(&self) -> &[u64] {
        &self.visits
    }

    /// The steps of the performance.
    pub fn steps(&self) -> &[GraphStep] {
        &self.steps
    }

    /// The plan of least cost over the whole performance.
    ///
    /// # The cost
    ///
    /// As in [`Chain::solve`](super::Chain::solve): the motions of all steps,
    /// each as often as it is taken, then their largest distances likewise,
    /// then the distances from the centre, each as often as the slot sounds.
    ///
    /// Among plans of equal cost: the slots are decided one after another, each taking
    /// the lowest index that still allows the least cost. They are decided in
    /// the reverse of the order in which they are eliminated, and eliminated
    /// by the fewest neighbours, the last slot among equals. On a
    /// chain, and on a loop in which no slot has only one candidate, that is
    /// from the first slot to the last, as in `Chain::solve`.
    ///
    /// # Example
    ///
    /// Slots of single numbers, 0 or 10, then 9 or 4, then 3. A repeat of the
    /// first two takes the step between them three times, and that decides
    /// what the second slot takes:
    ///
    /// ```
    /// use compline::plan::{Budget, Graph, Layer, Row};
    ///
    /// let layer = |rows: &[i16]| -> Layer {
    ///     rows.iter().filter_map(|&entry| Row::new(vec![entry])).collect()
    /// };
    /// let layers = [layer(&[0, 10]), layer(&[9, 4]), layer(&[3])];
    /// // With the repeat: 10 and 9 cost 3 x 1 + 6 = 9, 0 and 4 cost 3 x 4 + 1 = 13.
    /// let plan = Graph::from_walk(&layers, 0, &[0, 1, 0, 1, 2], false).solve(Budget::default())?;
    /// assert_eq!(plan.choice, [1, 0, 0]);
    /// assert_eq!(plan.cost.motion, 9);
    /// assert!(plan.optimal);
    /// // Without it: 1 + 6 = 7 against 4 + 1 = 5.
    /// let plan = Graph::from_walk(&layers, 0, &[0, 1, 2], false).solve(Budget::default())?;
    /// assert_eq!((plan.choice, plan.cost.motion), (vec![0, 1, 0], 5));
    /// # Ok::<(), compline::plan::Unsolvable>(())
    /// ```
    ///
    /// # Complexity
    ///
    /// With w neighbours at most and k candidates for a slot, k^(w+1) sums for
    /// each slot: in proportion to the number of slots (with a logarithm for the order)
    /// as long as the performance is nearly a chain. If some slot would need more than the
    /// budget, the plan is the best one found by re-deciding part after part,
    /// and says that it isn't proved to be the least.
    ///
    /// # Errors
    ///
    /// [`Unsolvable::EmptyLayer`], [`Unsolvable::NoSuchLayer`],
    /// [`Unsolvable::TooLarge`]; [`Unsolvable::NoPath`] or
    /// [`Unsolvable::NoAssignment`] if the rules leave no plan;
    /// [`Unsolvable::NoneFound`] if that could not be decided within the budget.
    pub fn solve(&self, budget: Budget) -> Result<GraphPlan, Unsolvable> {
        let network = self.network()?;
        let folded = Folded::new(&network, vec![None; self.layers.len()], |_| true);
        match order::order(&folded, budget.cells) {
            Ok(order) => {
                let elimination = possible(Elimination::run(folded, order))?;
                let mut choice = elimination.undecided();
                elimination.decide(&elimination.places(), &mut choice, 0);
                Ok(proved(&elimination, elimination.total, choice))
            }
            Err(stuck) => relaxed::solve(&network, budget, stuck.width),
        }
    }

    /// For every candidate of every slot, the cost of the best plan that takes
    /// it; `None` where the rules leave no such plan. A slot that never
    /// sounds costs nothing, whatever it takes.
    ///
    /// # Errors
    ///
    /// Those of [`Graph::solve`]; [`Unsolvable::TooEntangled`] if the budget
    /// does not suffice, for a price that isn't exact is none.
    pub fn prices(&self, budget: Budget) -> Result<Vec<Vec<Option<Cost>>>, Unsolvable> {
        let network = self.network()?;
        let elimination = self.eliminate(&network, budget)?;
        let totals = elimination.min_marginals();
        let price = |&key: &u128| (key < IMPOSSIBLE).then(|| unpack(key));
        let slots = 0..self.layers.len();
        let prices = slots.map(|slot| {
            totals[network.packed.span(slot)]
                .iter()
                .map(price)
                .collect()
        });
        Ok(prices.collect())
    }

    /// The `count` cheapest plans, all different, cheapest first, the first
    /// being that of [`Graph::solve`]; fewer if there are no more. Plans of equal cost come
    /// in the order described there: the first slot decided in which they
    /// differ has the lower index first.
    ///
    /// Beyond the elimination each plan takes time in proportion to the length.
    ///
    /// # Errors
    ///
    /// Those of [`Graph::prices`].
    pub fn best(&self, count: usize, budget: Budget) -> Result<Vec<GraphPlan>, Unsolvable> {
        let network = self.network()?;
        let elimination = self.eliminate(&network, budget)?;
        let ranked = elimination.best(count).into_iter();
        Ok(ranked
            .map(|(key, choice)| proved(&elimination, key, choice))
            .collect())
    }

    fn network(&self) -> Result<Network, Unsolvable> {
        if self.visits.len() > self.layers.len() {
            return Err(Unsolvable::NoSuchLayer {
                layer: self.layers.len(),
            });
        }
        Network::new(self.layers, self.centre, &self.visits, &self.steps)
    }

    fn eliminate<'n>(
        &self,
        network: &'n Network,
        budget: Budget,
    ) -> Result<Elimination<'n>, Unsolvable> {
        let folded = Folded::new(network, vec![None; self.layers.len()], |_| true);
        let order = order::order(&folded, budget.cells);
        let order = order.map_err(|stuck| Unsolvable::TooEntangled { width: stuck.width })?;
        possible(Elimination::run(folded, order))
    }
}

/// Turns a total that no plan has into the error that says why.
fn possible(elimination: Elimination<'_>) -> Result<Elimination<'_>, Unsolvable> {
    if elimination.total < IMPOSSIBLE {
        return Ok(elimination);
    }
    let network = elimination.folded.network;
    let gap = network
        .links
        .iter()
        .find(|link| network.least(link) >= IMPOSSIBLE);
    Err(
        gap.map_or(Unsolvable::NoAssignment, |link| Unsolvable::NoPath {
            from: link.ends.0,
            to: link.ends.1,
        }),
    )
}

fn proved(elimination: &Elimination<'_>, key: u128, choice: Vec<usize>) -> GraphPlan {
    let cost = unpack(key);
    GraphPlan {
        choice,
        cost,
        lower_bound: cost,
        optimal: true,
        width: elimination.order.width,
    }
}
