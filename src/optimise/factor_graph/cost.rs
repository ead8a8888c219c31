//! How two plans are compared.

use std::ops::Add;

/// The cost of a plan. Costs compare field by field in this order: a unit of effort outweighs any
/// difference in the fields below it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Cost {
    /// The motion of all steps together, and what the values cost by themselves at every visit.
    pub effort: u64,
    /// The largest single distances of all steps, added up.
    pub largest: u64,
    /// The rows' distances from the centre, added up, in half units.
    pub off_centre: u64,
}

impl Add for Cost {
    type Output = Cost;

    fn add(self, other: Cost) -> Cost {
        Cost {
            effort: self.effort + other.effort,
            largest: self.largest + other.largest,
            off_centre: self.off_centre + other.off_centre,
        }
    }
}
