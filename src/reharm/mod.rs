//! What could stand instead of a chart's chords.
//!
//! The [`techniques`] make [`proposals`] for a passage; [`reharm`] lists those of a whole chart, and
//! [`changes`] chooses among them together with the voicings.

mod changes;
mod listed;
mod proposal;
pub mod techniques;
mod unproposed;
mod ways;

pub use changes::{Rung, changes, replaced, stretches};
pub use listed::{Listed, reharm};
pub use proposal::{Proposal, proposals, proposals_at};
pub use unproposed::Unproposed;
pub use ways::{NotWays, Ways};
