//! A step from one variable to another, taken so often.

use super::rule::StepRule;

/// An edge of the model: a step from one variable to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edge {
    /// The variable it leaves, counted from 0.
    pub from: usize,
    /// The variable it reaches.
    pub to: usize,
    /// How often it is taken. A step taken 0 times costs nothing, but its rule and its boundary hold all
    /// the same.
    pub count: u64,
    /// What the two rows must fulfil.
    pub rule: StepRule,
    /// Whether `out` of the value left must equal `into` of the value reached.
    pub bounded: bool,
}

impl Edge {
    /// A step taken once, on which any two values may meet.
    pub fn new(from: usize, to: usize) -> Edge {
        Edge {
            from,
            to,
            count: 1,
            rule: StepRule::FREE,
            bounded: false,
        }
    }
}
