//! Why there is no plan.

use std::fmt;

/// The reason why no plan exists, or why none was looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Unsolvable {
    /// A slot has no candidates at all.
    EmptyLayer {
        /// The slot, counted from 0.
        layer: usize,
    },
    /// No pair of candidates that the rules allow leads from one slot to the
    /// next on a way that reaches the end.
    NoPath {
        /// The slot before the gap, counted from 0.
        from: usize,
        /// The slot behind the gap.
        to: usize,
    },
    /// The way from the first slot to the last exists, but none of them may
    /// be followed by its own beginning.
    NoRoundTrip,
    /// Every step can be taken by itself, but not all of them together.
    NoAssignment,
    /// The graph is too entangled for the budget, and no choice was found
    /// that keeps all rules. There may be one.
    NoneFound,
    /// The graph is too entangled for the budget, and what was asked for
    /// can only be had exactly.
    TooEntangled {
        /// The least number of neighbours at the slots that are left.
        width: usize,
    },
    /// The tables for all slots and weights together would be larger than the
    /// budget allows.
    OverBudget {
        /// How many costs they would hold.
        costs: u64,
    },
    /// A step or a visit names a slot that does not exist.
    NoSuchLayer {
        /// The slot named, counted from 0.
        layer: usize,
    },
    /// The rows are so far apart, or the plan is so long, that its cost might
    /// not fit: motion 2^46, largest steps and distances from the centre 2^40.
    TooLarge,
}

impl fmt::Display for Unsolvable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unsolvable::EmptyLayer { layer } => write!(f, "slot {layer} has no candidates"),
            Unsolvable::NoPath { from, to } => {
                write!(f, "no allowed step leads from slot {from} to slot {to}")
            }
            Unsolvable::NoRoundTrip => {
                write!(f, "no plan may be followed by its own beginning")
            }
            Unsolvable::NoAssignment => write!(f, "no choice keeps all rules at once"),
            Unsolvable::NoneFound => {
                write!(
                    f,
                    "too entangled to search whole, and no choice was found that keeps all rules"
                )
            }
            Unsolvable::TooEntangled { width } => {
                write!(f, "too entangled to solve exactly (width {width} or more)")
            }
            Unsolvable::OverBudget { costs } => {
                write!(f, "too long to count within the budget ({costs} costs)")
            }
            Unsolvable::NoSuchLayer { layer } => write!(f, "there is no slot {layer}"),
            Unsolvable::TooLarge => {
                write!(f, "the cost of the plan could grow too large to add up")
            }
        }
    }
}

impl std::error::Error for Unsolvable {}
