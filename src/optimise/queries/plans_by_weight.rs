//! The best plans by their total weight.

use super::plan::Plan;
use crate::optimise::factor_graph::cost::Cost;

/// The best plan of every total weight from 0 on, or of every group of weights that was asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ByWeight {
    plans: Vec<Option<Plan>>,
    /// What a plan of each weight costs at least; `None` if there is none.
    bounds: Vec<Option<Cost>>,
}

/// The lightest plan that was found to cost little enough.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lightest {
    /// The cheapest plan of this weight.
    pub plan: Plan,
    /// What it weighs.
    pub weight: usize,
    /// What every plan that costs so little weighs at least: equal to `weight` if that is proved least.
    pub at_least: usize,
}

impl ByWeight {
    /// Plans that are all proved.
    pub(in crate::optimise) fn exact(plans: Vec<Option<Plan>>) -> ByWeight {
        let bounds = plans.iter().map(|plan| Some(plan.as_ref()?.cost));
        ByWeight {
            bounds: bounds.collect(),
            plans,
        }
    }

    /// Plans that were found, and what is known of those that weren't.
    pub(in crate::optimise) fn bounded(
        plans: Vec<Option<Plan>>,
        bounds: Vec<Option<Cost>>,
    ) -> ByWeight {
        ByWeight { plans, bounds }
    }

    /// The best plans by their weight, from 0 to the most that was asked for, or to the heaviest of all; or
    /// group by group. `None` where no plan weighs so much, or, unless [`ByWeight::proved`], where none was
    /// found.
    pub fn plans(&self) -> &[Option<Plan>] {
        &self.plans
    }

    /// What every plan of each weight or group costs at least; `None` if there is none.
    pub fn bounds(&self) -> &[Option<Cost>] {
        &self.bounds
    }

    /// Of plans by their weight the best of each group.
    pub(in crate::optimise) fn of_groups(&self, groups: &[Vec<usize>]) -> ByWeight {
        let bounds = groups.iter().map(|group| {
            let bounds = group.iter().filter_map(|&weight| *self.bounds.get(weight)?);
            bounds.min()
        });
        let bounds: Vec<Option<Cost>> = bounds.collect();
        let plans = groups.iter().zip(&bounds).map(|(group, bound)| {
            let plans = group
                .iter()
                .filter_map(|&weight| self.plans.get(weight)?.as_ref());
            let best = plans.min_by_key(|plan| plan.cost)?;
            let lower_bound = bound.unwrap_or(best.lower_bound);
            Some(Plan {
                lower_bound,
                optimal: lower_bound == best.cost,
                ..best.clone()
            })
        });
        ByWeight {
            plans: plans.collect(),
            bounds,
        }
    }

    /// Whether every plan is proved to be the best of its weight, and every missing one to be impossible.
    pub fn proved(&self) -> bool {
        let mut plans = self.plans.iter().zip(&self.bounds);
        plans.all(|(plan, bound)| match plan {
            Some(plan) => plan.optimal,
            None => bound.is_none(),
        })
    }

    /// The lightest plan whose effort is at most `effort`, the cheapest of its weight.
    pub(in crate::optimise) fn lightest_within(&self, effort: u64) -> Option<Lightest> {
        let mut plans = self.plans.iter().enumerate();
        let (weight, plan) = plans.find_map(|(weight, plan)| {
            let plan = plan.as_ref()?;
            (plan.cost.effort <= effort).then_some((weight, plan))
        })?;
        Some(Lightest {
            plan: plan.clone(),
            weight,
            at_least: self.least_weight_within(effort).unwrap_or(weight),
        })
    }

    /// The least weight that the bounds leave to a plan whose effort is at most `effort`.
    pub(in crate::optimise) fn least_weight_within(&self, effort: u64) -> Option<usize> {
        let within = |bound: &Option<Cost>| bound.is_some_and(|bound| bound.effort <= effort);
        self.bounds.iter().position(within)
    }
}
