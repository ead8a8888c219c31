//! From the tables back to values: the best choice, the best few, the best of a weight, and what every value costs.

pub(in crate::optimise) mod best_choice;
pub(in crate::optimise) mod by_weight;
pub(in crate::optimise) mod k_best;
pub(in crate::optimise) mod min_marginals;
