//! What several targets have in common.

pub mod archive;
mod chart_claims;
mod claims;
mod pieces;
mod share;

pub use chart_claims::chart_holds;
pub use claims::tune_holds;
pub use pieces::pieced;
pub use share::Share;
