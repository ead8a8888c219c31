//! What several targets have in common.

pub mod archive;
mod claims;

pub use claims::tune_holds;
