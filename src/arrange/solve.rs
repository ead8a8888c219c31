//! A problem solved: the best choice of voicings, prices, the next best.
//!
//! Here is where the engine is called. What it is given are the values of each slot that sounds, a row of
//! keys and what it costs, how often the hand goes from one slot to another, and what is wished for
//! these steps.

use std::sync::Arc;

use super::arrangement::{Alternative, Totals};
use super::broken::Broken;
use super::motion;
use super::problem::Problem;
use super::steps::{self, Rules};
use super::trouble::Trouble;
use super::warning::Warning;
use crate::chart::{Performance, Slot, Wish};
use crate::optimise::{Budget, Cost, Edge, Model, Row, StepRule, Unsolvable};
use crate::voicing::{TotalSurcharges, Voicing};

/// A problem with the candidates that are looked at in each slot.
pub(crate) struct Solver<'p> {
    problem: &'p Problem<'p>,
    candidates: Vec<Arc<Vec<Voicing>>>,
    /// The slots that sound, in written order: the variables of the model.
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
            centre: range.doubled_middle(),
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
        let row = |layer: usize| self.rows(layer).into_iter().next();
        steps::warnings(&self.performance, row, &slots, self.problem.settings)
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
        let model = self.model(&self.performance);
        let plan = model.solve(Budget::default());
        let plan = plan.map_err(|why| self.trouble(why))?;
        let best = match alternatives {
            0 => Ok(Vec::new()),
            count => model.k_best(count, Budget::default()),
        };
        let best = best.map_err(|why| self.trouble(why))?;
        let alternatives = best.into_iter().map(|plan| {
            let voicings = self.voicings(&plan.choice);
            Alternative {
                cost: plan.cost,
                surcharges: charged(&voicings, &self.problem.performance),
                optimal: plan.optimal,
                voicings,
            }
        });
        let alternatives = alternatives.collect();
        let voicings = self.voicings(&plan.choice);
        Ok(Answer {
            alternatives,
            totals: Totals {
                cost: plan.cost,
                surcharges: charged(&voicings, &self.problem.performance),
                optimal: plan.optimal,
                lower_bound: plan.lower_bound,
                as_written: None,
                width: plan.width,
            },
            voicings,
        })
    }

    /// For each slot, what the whole performance costs at best with each of its candidates.
    ///
    /// # Errors
    ///
    /// Those of [`Self::solve`].
    pub fn prices(&self) -> Result<Vec<Vec<Option<Cost>>>, Trouble> {
        let model = self.model(&self.performance);
        let prices = model.min_marginals(Budget::default());
        let prices = prices.map_err(|why| self.trouble(why))?;
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

    /// A performance of the slots that sound as the engine takes it.
    fn model(&self, performance: &Performance) -> Model {
        let mut model = Model::new();
        // Slots that share their candidates share the values. There are few different ones.
        let mut known: Vec<&Arc<Vec<Voicing>>> = Vec::new();
        for (layer, candidates) in self.sounding_candidates().enumerate() {
            let domain = known
                .iter()
                .position(|other| Arc::ptr_eq(other, candidates));
            let domain = domain.unwrap_or_else(|| {
                known.push(candidates);
                let value = |voicing| motion::value(voicing, self.centre);
                model.domain(candidates.iter().filter_map(value))
            });
            model.variable(domain, performance.times(layer));
        }
        for step in performance.transitions() {
            model.edge(Edge {
                count: step.times,
                rule: self.rules.rule(step.from, step.to),
                ..Edge::new(step.from, step.to)
            });
        }
        model
    }

    /// The candidates of each slot that sounds.
    fn sounding_candidates(&self) -> impl Iterator<Item = &Arc<Vec<Voicing>>> {
        let sounding = self.sounding.iter();
        sounding.filter_map(|&at| self.candidates.get(at))
    }

    /// The rows of a slot that sounds, by its place among those.
    fn rows(&self, layer: usize) -> Vec<Row> {
        let candidates = self.sounding_candidates().nth(layer);
        let voicings = candidates.into_iter().flat_map(|found| found.iter());
        voicings.filter_map(motion::row).collect()
    }

    /// What the musician is told when there is no plan.
    fn trouble(&self, why: Unsolvable) -> Trouble {
        let impossible = why == Unsolvable::Impossible;
        let broken = impossible.then(|| self.broken());
        broken.flatten().map_or(Trouble::NoPlan(why), |broken| {
            Trouble::Broken(Box::new(broken))
        })
    }

    /// The first step of the performance that can't be made, and the shortest way up to it on which
    /// it can't.
    fn broken(&self) -> Option<Broken> {
        let fails = |visits: &[usize]| {
            let slots = self.sounding.len();
            let performance = Performance::new(slots, visits.to_vec(), false);
            let plan = self.model(&performance).solve(Budget::default());
            plan == Err(Unsolvable::Impossible)
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
            &self.rows(*from),
            &self.rows(*to),
        ))
    }
}

/// What the voicings of the slots are charged, each as often as it is struck.
pub(crate) fn charged(voicings: &[Option<Voicing>], performance: &Performance) -> TotalSurcharges {
    let each = voicings.iter().enumerate();
    let struck = each.filter_map(|(slot, voicing)| Some((slot, voicing.as_ref()?.surcharges)));
    struck.fold(TotalSurcharges::default(), |sum, (slot, charged)| {
        sum.with(charged, performance.times(slot))
    })
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
