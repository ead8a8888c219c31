//! Where the minimum over a variable is taken: the min-plus step from the sums at its values to a table over
//! another variable, and the numbers that are compared.
//!
//! `min_plus` chooses between the ways to take it: `kernel` in effort alone, many values at a time; `product`
//! the same for rows of any length; `whole_keys` for small layers; `meetings` where boundaries hold.

pub(in crate::optimise) mod ends;
pub(in crate::optimise) mod kernel;
pub(in crate::optimise) mod key;
pub(in crate::optimise) mod key_layout;
pub(in crate::optimise) mod meetings;
pub(in crate::optimise) mod min_plus;
pub(in crate::optimise) mod product;
pub(in crate::optimise) mod rows;
pub(in crate::optimise) mod side_motions;
pub(in crate::optimise) mod way;
pub(in crate::optimise) mod whole_keys;
