//! The engine against exhaustive search and against its definition.

mod chains;
mod exhaustive;
mod kernel;
mod lower_bound;
mod model;
mod oracle;
mod order;
mod side_motions;
mod weights;
mod work;
