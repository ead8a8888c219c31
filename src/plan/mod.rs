//! The exact planner. It knows no music: rows of whole numbers go in, one row
//! for every slot comes out, and no other choice costs less.
//!
//! From candidates to a plan:
//!
//! 1. a [`Row`] is one candidate, a [`Layer`] the candidates of one slot;
//! 2. [`step`] measures the least movement between two rows, a [`StepRule`]
//!    may forbid it, and [`pairs`] says which entry moves to which;
//! 3. [`Cost`] adds up the steps and the rows' distances from the centre and
//!    compares lexicographically;
//! 4. [`Chain`] finds the least cost when the slots follow one another, open or
//!    looped, and the price of every candidate;
//! 5. [`Graph`] does the same when a slot may sound several times but is
//!    decided once, and can rank the best few plans;
//! 6. [`Lattice`] does it when candidates also weigh something, say because
//!    they change what was written, and finds the least cost for every total
//!    weight.
//!
//! Slots without candidates are errors here, never skipped: whoever knows that
//! a slot is silent leaves it out. [`nearest`] is the plan without foresight,
//! to compare with.

mod best;
mod chain;
mod columns;
mod cost;
mod elimination;
mod error;
mod graph;
mod greedy;
mod lanes;
mod lattice;
mod layer;
mod marginals;
mod network;
mod order;
mod packed;
mod passes;
mod prices;
mod relax;
mod relaxed;

#[cfg(test)]
mod chain_tests;
#[cfg(test)]
mod exhaustive;
#[cfg(test)]
mod graph_tests;
#[cfg(test)]
mod relax_tests;

pub use crate::optimise::{Row, Step, StepRule, pairs, step};
pub use chain::{Chain, Plan};
pub use cost::Cost;
pub use error::Unsolvable;
pub use graph::{Budget, Graph, GraphPlan, GraphStep};
pub use greedy::nearest;
pub use lattice::{
    CHANNELS, Fewest, Joint, Labels, Ladder, Lattice, Passage, Point, Solution, State,
};
pub use layer::Layer;
