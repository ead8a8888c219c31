//! What could stand instead of a chart's chords, as text and as JSON.

mod changes;
mod held;
mod proposals;

use schemars::JsonSchema;
use serde::Serialize;

use super::json::schema_text;

pub use changes::{ChangesReport, Ladder, changes_json, changes_text};
pub use held::held_text;
pub use proposals::{ProposalReport, proposals_json, proposals_text};

/// A line of the JSON of `reharm`: a proposal, or with `--changes` the whole table of a chart.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(untagged)]
#[expect(
    dead_code,
    reason = "the schema of the lines is made from it, not the lines"
)]
enum ReharmLine<'a> {
    Proposal(ProposalReport<'a>),
    Changes(ChangesReport<'a>),
}

/// The JSON Schema of the lines, as indented text.
pub fn reharm_schema() -> String {
    schema_text::<ReharmLine<'static>>()
}
