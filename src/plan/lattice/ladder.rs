//! What a lattice answers with: a best choice for every total weight.

use crate::plan::Cost;

/// One state for every point, and how sure it is that none is cheaper.
///
/// Always `lower_bound` <= least possible cost <= `cost`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Solution {
    /// The index of the state taken at each point.
    pub choice: Vec<usize>,
    /// What these states weigh together.
    pub weight: u64,
    /// The cost of this choice over the whole performance.
    pub cost: Cost,
    /// What any choice costs at least that was asked for (of this weight, or of at
    /// most the weight asked for). Equal to `cost` if that is proved least.
    pub lower_bound: Cost,
    /// Whether the cost is proved to be the least.
    pub optimal: bool,
}

/// The best choice for every total weight from 0 on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ladder {
    pub(super) rungs: Vec<Option<Solution>>,
    pub(super) width: usize,
}

impl Ladder {
    /// The best choices by their weight, from 0 to the most that was asked for;
    /// `None` where no choice weighs exactly so much.
    pub fn rungs(&self) -> &[Option<Solution>] {
        &self.rungs
    }

    /// The best choice of exactly this weight, if there is one and so much was asked for.
    pub fn exactly(&self, weight: usize) -> Option<&Solution> {
        self.rungs.get(weight)?.as_ref()
    }

    /// The best choice of at most this weight, the lightest among equals:
    /// never dearer than with less to spend. Beyond the most that was asked
    /// for nothing is known, and nothing is added.
    pub fn at_most(&self, weight: usize) -> Option<&Solution> {
        let rungs = self.rungs.iter().take(weight.saturating_add(1));
        rungs.flatten().min_by_key(|rung| (rung.cost, rung.weight))
    }

    /// The lightest choice whose motion is at most `motion`, the cheapest of its weight.
    pub fn lightest_within(&self, motion: u64) -> Option<&Solution> {
        let mut rungs = self.rungs.iter().flatten();
        rungs.find(|rung| rung.cost.motion <= motion)
    }

    /// How many neighbours the most entangled point had when it was eliminated:
    /// 1 on a straight page, 2 on a loop.
    pub fn width(&self) -> usize {
        self.width
    }
}
