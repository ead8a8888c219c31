//! What several targets have in common.

pub mod archive;
mod chart_claims;
mod claims;

pub use chart_claims::chart_holds;
pub use claims::tune_holds;
