//! What can be asked of a model, a file for each question, and what is answered.

pub(in crate::optimise) mod by_weight;
pub(in crate::optimise) mod exact;
pub(in crate::optimise) mod k_best;
pub(in crate::optimise) mod lightest;
pub(in crate::optimise) mod lower_bound;
pub(in crate::optimise) mod min_marginals;
pub(in crate::optimise) mod plan;
pub(in crate::optimise) mod plans_by_weight;
pub(in crate::optimise) mod solve;
