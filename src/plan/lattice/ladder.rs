//! What a lattice answers with: a best choice for every total weight.

use super::exact::{Exact, Found};
use super::relaxed::Relaxed;
use crate::plan::Cost;
use crate::plan::cost::{IMPOSSIBLE, Key, unpack};

/// One state for every point, and how sure it is that none is cheaper.
///
/// Always `lower_bound` <= least possible cost <= `cost`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Solution {
    /// The index of the state taken at each point.
    pub choice: Vec<usize>,
    /// What these states weigh together.
    pub weight: usize,
    /// The cost of this choice over the whole performance.
    pub cost: Cost,
    /// What any choice costs at least of the weight that was asked for.
    /// Equal to `cost` if that is proved least.
    pub lower_bound: Cost,
    /// Whether the cost is proved to be the least.
    pub optimal: bool,
}

/// The lightest choice that was found to move little enough.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fewest {
    /// The cheapest choice of this weight.
    pub solution: Solution,
    /// What every choice that moves so little weighs at least: equal to the weight of
    /// the solution if that is proved least.
    pub at_least: usize,
}

/// The best choice for every total weight from 0 on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ladder {
    rungs: Vec<Option<Solution>>,
    /// What a choice of each weight costs at least; `None` if there is none.
    bounds: Vec<Option<Cost>>,
    width: usize,
}

fn possible(key: Key) -> Option<Cost> {
    (key < IMPOSSIBLE).then(|| unpack(key))
}

impl Ladder {
    pub(super) fn exact(exact: Exact) -> Ladder {
        let keys = exact.found.iter();
        let bounds = keys.map(|found| found.as_ref().map(|found| unpack(found.key)));
        Ladder::new(bounds.collect(), exact.found, exact.width)
    }

    pub(super) fn relaxed(relaxed: Relaxed, width: usize) -> Ladder {
        let bounds = relaxed.bounds.into_iter().map(possible);
        Ladder::new(bounds.collect(), relaxed.found, width)
    }

    fn new(bounds: Vec<Option<Cost>>, found: Vec<Option<Found>>, width: usize) -> Ladder {
        let rungs = found.into_iter().zip(&bounds).enumerate();
        let rungs = rungs.map(|(weight, (found, bound))| {
            let (found, lower_bound) = (found?, (*bound)?);
            let cost = unpack(found.key);
            Some(Solution {
                choice: found.choice,
                weight,
                cost,
                lower_bound,
                optimal: lower_bound == cost,
            })
        });
        Ladder {
            rungs: rungs.collect(),
            bounds,
            width,
        }
    }

    /// The best choices by their weight, from 0 to the most that was asked
    /// for, or to the heaviest of all; `None` where no choice weighs exactly so
    /// much, or, unless [`Ladder::proved`], where none was found.
    pub fn rungs(&self) -> &[Option<Solution>] {
        &self.rungs
    }

    /// The best choice of exactly this weight.
    pub fn exactly(&self, weight: usize) -> Option<&Solution> {
        self.rungs.get(weight)?.as_ref()
    }

    /// The best choice of at most this weight, the lightest among equals:
    /// never dearer than with less to spend. Beyond the most that was asked
    /// for nothing is known, and nothing is added.
    ///
    /// Its lower bound and whether it is optimal hold for all choices of at
    /// most this weight.
    pub fn at_most(&self, weight: usize) -> Option<Solution> {
        let rungs = self.rungs.iter().take(weight.saturating_add(1));
        let best = rungs
            .flatten()
            .min_by_key(|rung| (rung.cost, rung.weight))?;
        let bounds = self.bounds.iter().take(weight.saturating_add(1));
        let lower_bound = bounds.flatten().min().copied().unwrap_or(best.lower_bound);
        Some(Solution {
            lower_bound,
            optimal: lower_bound == best.cost,
            ..best.clone()
        })
    }

    /// The lightest choice whose motion is at most `motion`, the cheapest of
    /// its weight; `None` if no choice up to the most that was asked for is known to move
    /// so little.
    pub fn fewest_within(&self, motion: u64) -> Option<Fewest> {
        let mut rungs = self.rungs.iter().flatten();
        let solution = rungs.find(|rung| rung.cost.motion <= motion)?.clone();
        let at_least = self.least_weight_within(motion).unwrap_or(solution.weight);
        Some(Fewest { solution, at_least })
    }

    /// The least weight that the bounds leave to a choice whose motion is at most `motion`.
    fn least_weight_within(&self, motion: u64) -> Option<usize> {
        let within = |bound: &Option<Cost>| bound.is_some_and(|bound| bound.motion <= motion);
        self.bounds.iter().position(within)
    }

    /// Whether the bounds rule out that any choice up to the most that was
    /// asked for moves so little.
    pub(super) fn excludes(&self, motion: u64) -> bool {
        self.least_weight_within(motion).is_none()
    }

    /// Whether every choice is proved to be the best of its weight, and every
    /// missing one to be impossible. Then equals are in the order promised, too.
    pub fn proved(&self) -> bool {
        let mut rungs = self.rungs.iter().zip(&self.bounds);
        rungs.all(|(rung, bound)| match rung {
            Some(rung) => rung.optimal,
            None => bound.is_none(),
        })
    }

    /// How many neighbours the most entangled point had when it was eliminated:
    /// 1 on a straight page, 2 on a loop; if that was too many, the least
    /// number among those left.
    pub fn width(&self) -> usize {
        self.width
    }
}
