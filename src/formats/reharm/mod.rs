//! What could stand instead of a chart's chords, as text and as JSON.

mod changes;
mod proposals;

pub use changes::{ChangesReport, Ladder, changes_json, changes_text};
pub use proposals::{ProposalReport, bars, proposals_json, proposals_text, reharm_schema};
