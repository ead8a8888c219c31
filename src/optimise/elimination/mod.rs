//! The forward pass: variables are eliminated one after another, and the tables kept.

pub(in crate::optimise) mod bucket;
pub(in crate::optimise) mod straight_stretches;
pub(in crate::optimise) mod sweep;
pub(in crate::optimise) mod tables;
#[cfg(test)]
pub(in crate::optimise) mod work;
