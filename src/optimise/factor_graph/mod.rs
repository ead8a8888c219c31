//! What is to be solved: variables with their values, the edges between them, and what they cost.

pub(in crate::optimise) mod columns;
pub(in crate::optimise) mod cost;
pub(in crate::optimise) mod edge;
pub(in crate::optimise) mod extremes;
pub(in crate::optimise) mod model;
pub(in crate::optimise) mod motion;
pub(in crate::optimise) mod pairs;
pub(in crate::optimise) mod row;
pub(in crate::optimise) mod rule;
pub(in crate::optimise) mod sides;
pub(in crate::optimise) mod totals;
pub(in crate::optimise) mod unsolvable;
pub(in crate::optimise) mod value;
