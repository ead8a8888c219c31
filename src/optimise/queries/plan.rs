//! What a model is solved to.

use crate::optimise::factor_graph::cost::Cost;

/// One value for every variable, and how sure it is that no choice costs less.
///
/// Always `lower_bound` <= least possible cost <= `cost`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// Of each variable the value taken, by its place in the domain.
    pub choice: Vec<usize>,
    /// The cost of this choice.
    pub cost: Cost,
    /// What any choice costs at least. Equal to `cost` if that is proved least.
    pub lower_bound: Cost,
    /// Whether the cost is proved to be the least; in a ranking, whether the place is proved.
    pub optimal: bool,
    /// How many neighbours the most entangled variable had when it was eliminated: 1 on a straight page,
    /// 2 on a loop; if that was too many, the least number among those left.
    pub width: usize,
}

impl Plan {
    /// A plan that is known to be the best.
    pub(in crate::optimise) fn proved(choice: Vec<usize>, cost: Cost, width: usize) -> Plan {
        Plan {
            choice,
            cost,
            lower_bound: cost,
            optimal: true,
            width,
        }
    }
}
