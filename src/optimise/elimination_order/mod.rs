//! In which order variables are eliminated, and what that costs.

pub(in crate::optimise) mod adjacency;
pub(in crate::optimise) mod budget;
pub(in crate::optimise) mod interaction_graph;
pub(in crate::optimise) mod min_degree;
pub(in crate::optimise) mod order;
