//! A problem solved: the best choice of voicings, prices, the next best.
//!
//! Here is where the planner is called. What it is given are layers of rows of keys, how often the hand
//! goes from one layer to another, and what is wished for these steps.

use std::collections::HashMap;
use std::sync::Arc;

use super::steps::{self, Broken, Rules};
use super::{Alternative, Problem, Totals, Trouble, Warning, motion};
use crate::chart::{Performance, Slot, Wish};
use crate::plan::{
    Budget, Chain, Cost, Graph, GraphPlan, GraphStep, Layer, Plan, StepRule, Unsolvable,
};
use crate::voicing::Voicing;

/// A problem with the candidates that are looked at in each slot.
pub(crate) struct Solver<'p> {
    problem: &'p Problem<'p>,
    candidates: Vec<Arc<Vec<Voicing>>>,
    /// The slots that sound, in written order: the planner's layers.
    sounding: Vec<usize>,
    /// The performance of these, each by its place among them.
    performance: Performance,
    /// What is wished for the steps between layers.
    rules: Rules,
    /// Lowest plus highest key of the range.
    centre: i32,
}

/// What was chosen.
pub(crate) struct Answer {
    /// The voicing taken in each slot; `None` is silence.
    pub voicings: Vec<Option<Voicing>>,
    pub totals: Totals,
    pub alternatives: Vec<Alternative>,
}

/// What a plan may do in a slot.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Hold<'a> {
    /// Take any legal voicing; silence where there is none.
    Free,
    /// This one and no other.
    At(&'a Voicing),
    /// Nothing.
    Silent,
}

/// The best plan that holds what it is told to hold, in the order in which plans are compared. `legal`
/// are the voicings of each slot that it may take else.
///
/// With `bound` the wishes for the steps are kept wherever a step has a free end; without, no step is
/// held to anything.
///
/// # Errors
///
/// Where no plan keeps the wishes, and where it would be too much to look for.
pub(crate) fn plan_holding<'a>(
    problem: &Problem<'_>,
    legal: impl Fn(usize) -> Arc<Vec<Voicing>>,
    hold: impl Fn(usize) -> Hold<'a>,
    bound: bool,
) -> Result<Answer, Trouble> {
    let (mut candidates, mut into) = (Vec::new(), Vec::new());
    for slot in &problem.slots {
        let (found, is_held) = match hold(slot.index) {
            Hold::Silent => (Arc::default(), false),
            Hold::At(voicing) => (Arc::new(vec![voicing.clone()]), true),
            Hold::Free => (legal(slot.index), false),
        };
        let rule = match (bound, is_held) {
            (false, _) => StepRule::FREE,
            (true, true) => steps::everywhere(problem.settings),
            (true, false) => steps::into(slot, problem.settings),
        };
        candidates.push(found);
        into.push((rule, is_held));
    }
    Solver::new(problem, candidates, &into).solve(0)
}

impl<'p> Solver<'p> {
    /// A problem whose slots take these candidates, those that the chart gives held.
    pub fn of(problem: &'p Problem<'p>, candidates: Vec<Arc<Vec<Voicing>>>) -> Self {
        let into = |slot: &Slot| {
            let is_given = matches!(slot.wish, Wish::Given(_));
            (steps::into(slot, problem.settings), is_given)
        };
        let into: Vec<(StepRule, bool)> = problem.slots.iter().map(into).collect();
        Self::new(problem, candidates, &into)
    }

    /// `into` has for each slot the rule for the steps into it, and whether it is held.
    fn new(
        problem: &'p Problem<'p>,
        candidates: Vec<Arc<Vec<Voicing>>>,
        into: &[(StepRule, bool)],
    ) -> Self {
        let sounds = |at: &usize| candidates.get(*at).is_some_and(|found| !found.is_empty());
        let sounding: Vec<usize> = (0..problem.slots.len()).filter(sounds).collect();
        let range = problem.settings.voicing.hand.range;
        Self {
            rules: Rules::of(sounding.iter().filter_map(|&at| into.get(at)).copied()),
            performance: problem.performance.among(&sounding),
            centre: i32::from(range.low().midi()) + i32::from(range.high().midi()),
            problem,
            candidates,
            sounding,
        }
    }

    /// The steps between two given voicings that are not as wished.
    pub fn given_steps(&self) -> Vec<Warning> {
        if self.rules.is_free() {
            return Vec::new();
        }
        let slots = self.sounding.iter();
        let slots: Vec<&Slot> = slots.filter_map(|&at| self.problem.slots.get(at)).collect();
        steps::warnings(
            &self.performance,
            &self.layers(),
            &slots,
            self.problem.settings,
        )
    }

    /// What each slot was let choose from.
    pub fn candidates(self) -> Vec<Arc<Vec<Voicing>>> {
        self.candidates
    }

    /// The best plan, and as many of the best as are asked for.
    ///
    /// # Errors
    ///
    /// Where no plan keeps the wishes, and where it would be too much to look for.
    pub fn solve(&self, alternatives: usize) -> Result<Answer, Trouble> {
        let layers = self.layers();
        let plan = match self.performance.is_straight() {
            true => self.chain(&layers).solve().map(proved),
            false => self
                .graph(&layers, &self.performance)
                .solve(Budget::default()),
        };
        let best = match alternatives {
            0 => Ok(Vec::new()),
            count => self
                .graph(&layers, &self.performance)
                .best(count, Budget::default()),
        };
        let plan = plan.map_err(|why| self.trouble(why, &layers))?;
        let best = best.map_err(|why| self.trouble(why, &layers))?;
        let alternatives = best.into_iter().map(|plan| Alternative {
            cost: plan.cost,
            optimal: plan.optimal,
            voicings: self.voicings(&plan.choice),
        });
        Ok(Answer {
            alternatives: alternatives.collect(),
            voicings: self.voicings(&plan.choice),
            totals: Totals {
                cost: plan.cost,
                optimal: plan.optimal,
                lower_bound: plan.lower_bound,
                as_written: None,
                width: plan.width,
            },
        })
    }

    /// For each slot, what the whole performance costs at best with each of its candidates.
    ///
    /// # Errors
    ///
    /// Those of [`Self::solve`].
    pub fn prices(&self) -> Result<Vec<Vec<Option<Cost>>>, Trouble> {
        let layers = self.layers();
        let prices = match self.performance.is_straight() {
            true => self.chain(&layers).prices(),
            false => self
                .graph(&layers, &self.performance)
                .prices(Budget::default()),
        };
        let prices = prices.map_err(|why| self.trouble(why, &layers))?;
        let mut all = vec![Vec::new(); self.problem.slots.len()];
        for (&at, prices) in self.sounding.iter().zip(prices) {
            if let Some(of_slot) = all.get_mut(at) {
                *of_slot = prices;
            }
        }
        Ok(all)
    }

    /// The voicing of each slot under a choice of candidates.
    fn voicings(&self, choice: &[usize]) -> Vec<Option<Voicing>> {
        let mut voicings = vec![None; self.problem.slots.len()];
        for (&at, &index) in self.sounding.iter().zip(choice) {
            if let Some(voicing) = voicings.get_mut(at) {
                *voicing = self.candidates.get(at).and_then(|c| c.get(index)).cloned();
            }
        }
        voicings
    }

    fn layers(&self) -> Vec<Layer> {
        let sounding = self.sounding.iter();
        // Slots that share their candidates share the layer.
        let mut known: HashMap<*const Vec<Voicing>, Layer> = HashMap::new();
        sounding
            .filter_map(|&at| self.candidates.get(at))
            .map(|voicings| {
                let layer = || voicings.iter().filter_map(motion::row).collect();
                let same = known.entry(Arc::as_ptr(voicings)).or_insert_with(layer);
                same.clone()
            })
            .collect()
    }

    fn chain<'a>(&self, layers: &'a [Layer]) -> Chain<'a> {
        let chain = Chain::new(layers, self.centre).looped(self.performance.is_looped());
        if self.rules.is_free() {
            return chain;
        }
        (0..layers.len()).fold(chain, |chain, from| {
            let to = (from + 1) % layers.len();
            chain.rule(from, self.rules.rule(from, to))
        })
    }

    fn graph<'a>(&self, layers: &'a [Layer], performance: &Performance) -> Graph<'a> {
        let steps = performance.transitions().iter().map(|step| GraphStep {
            from: step.from,
            to: step.to,
            times: step.times,
            rule: self.rules.rule(step.from, step.to),
        });
        let mut steps: Vec<GraphStep> = steps.collect();
        steps.sort_unstable_by_key(|step| (step.from, step.to));
        let visits = (0..layers.len()).map(|layer| performance.times(layer));
        Graph::new(layers, self.centre, visits.collect(), steps)
    }

    /// What the musician is told when the planner finds no plan.
    fn trouble(&self, why: Unsolvable, layers: &[Layer]) -> Trouble {
        let broken = is_impossible(why).then(|| self.broken(layers));
        broken.flatten().map_or(Trouble::NoPlan(why), |broken| {
            Trouble::Broken(Box::new(broken))
        })
    }

    /// The first step of the performance that can't be made, and the shortest way up to it on which
    /// it can't.
    fn broken(&self, layers: &[Layer]) -> Option<Broken> {
        let fails = |visits: &[usize]| {
            let performance = Performance::new(layers.len(), visits.to_vec(), false);
            let plan = self.graph(layers, &performance).solve(Budget::default());
            plan.is_err_and(is_impossible)
        };
        let visits = self.performance.visits();
        // Where only the way back can't be made, it is one more step, to the first slot.
        let round = visits.iter().chain(visits.first()).copied().collect();
        let visits: Vec<usize> = if fails(visits) {
            visits.to_vec()
        } else {
            round
        };
        let way = shortest_failing(&visits, fails)?;
        let slot = |layer: &usize| self.problem.slots.get(*self.sounding.get(*layer)?);
        let (since, [.., from, to]) = (way.first()?, way) else {
            return None;
        };
        Some(Broken::new(
            [slot(since)?, slot(from)?, slot(to)?],
            self.rules.rule(*from, *to),
            layers.get(*from)?,
            layers.get(*to)?,
        ))
    }
}

/// The part of a performance that ends with the first step that can't be made, and begins as late as it
/// still can't. What fails goes on failing when it is made longer.
fn shortest_failing(visits: &[usize], fails: impl Fn(&[usize]) -> bool) -> Option<&[usize]> {
    let end = first(visits.len(), |end| visits.get(..=end).is_some_and(&fails))?;
    let way = visits.get(..=end)?;
    let tail = |back: usize| way.get(end.checked_sub(back + 1)?..);
    tail(first(end, |back| tail(back).is_some_and(&fails))?)
}

/// The first number below `end` for which `holds`, where it holds for every larger one too.
fn first(end: usize, holds: impl Fn(usize) -> bool) -> Option<usize> {
    let (mut low, mut high) = (0, end);
    while low < high {
        let middle = low + (high - low) / 2;
        if holds(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    (low < end).then_some(low)
}

/// Whether this says that the rules leave no plan, rather than that none was looked for.
fn is_impossible(why: Unsolvable) -> bool {
    matches!(
        why,
        Unsolvable::NoPath { .. } | Unsolvable::NoRoundTrip | Unsolvable::NoAssignment
    )
}

/// The plan of a chain, which is always proved.
fn proved(plan: Plan) -> GraphPlan {
    GraphPlan {
        choice: plan.choice,
        cost: plan.cost,
        lower_bound: plan.cost,
        optimal: true,
        width: 1,
    }
}
