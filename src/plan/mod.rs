//! The exact planner. It knows no music: rows of whole numbers go in, one row
//! for every slot comes out, and no other choice costs less.
//!
//! From candidates to a plan:
//!
//! 1. a [`Row`] is one candidate, a [`Layer`] the candidates of one slot;
//! 2. [`step`] measures the least movement between two rows, a [`StepRule`]
//!    may forbid it;
//! 3. [`Cost`] adds up the steps and the rows' distances from the centre and
//!    compares lexicographically;
//! 4. [`Chain`] finds the least cost when the slots follow one another, open or
//!    looped, and the price of every candidate.
//!
//! Slots without candidates are errors here, never skipped: whoever knows that
//! a slot is silent leaves it out. [`nearest`] is the plan without foresight,
//! to compare with.

mod chain;
mod cost;
mod error;
mod greedy;
mod motion;
mod packed;
mod prices;
mod relax;
mod row;

#[cfg(test)]
mod chain_tests;
#[cfg(test)]
mod exhaustive;

pub use chain::{Chain, Plan};
pub use cost::{Cost, StepRule};
pub use error::Unsolvable;
pub use greedy::nearest;
pub use motion::{Step, step};
pub use row::{Layer, Row};
