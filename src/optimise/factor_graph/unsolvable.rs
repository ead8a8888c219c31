//! Why there is no plan.

use std::fmt;

/// The reason why no plan exists, or why none was looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Unsolvable {
    /// A variable has no values at all.
    NoValues {
        /// The variable, counted from 0.
        variable: usize,
    },
    /// A step names a variable that does not exist, or a variable a domain that does not.
    Unknown {
        /// What is named, counted from 0.
        number: usize,
    },
    /// No choice keeps all rules and boundaries.
    Impossible,
    /// The model is too entangled for the budget, and no choice was found that keeps all rules. There
    /// may be one.
    NoneFound,
    /// The model is too entangled for the budget, and what was asked for can only be had exactly.
    TooEntangled {
        /// The least number of neighbours among the variables that could not be eliminated.
        width: usize,
    },
    /// The rows are so far apart, or the plan is so long, that a cost might not fit into 61 bits.
    TooLarge,
}

impl fmt::Display for Unsolvable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unsolvable::NoValues { variable } => write!(f, "slot {variable} has no candidates"),
            Unsolvable::Unknown { number } => write!(f, "there is no slot {number}"),
            Unsolvable::Impossible => write!(f, "no choice keeps all rules at once"),
            Unsolvable::NoneFound => write!(
                f,
                "too entangled to search whole, and no choice was found that keeps all rules"
            ),
            Unsolvable::TooEntangled { width } => {
                write!(f, "too entangled to solve exactly (width {width} or more)")
            }
            Unsolvable::TooLarge => {
                write!(f, "the cost of the plan could grow too large to add up")
            }
        }
    }
}

impl std::error::Error for Unsolvable {}
