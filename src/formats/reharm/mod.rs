//! What could stand instead of a chart's chords, as text and as JSON.

mod changes;
mod held;
mod proposals;
mod report;
mod side_by_side;
mod sums;
mod table;
mod versions;

use schemars::JsonSchema;
use serde::Serialize;

use super::json::schema_text;

pub use changes::{ChangesReport, Ladder, changes_json, changes_text};
pub use held::held_text;
pub use report::{ProposalsReport, proposals_json};
pub use table::{ranking_text, reasons_text};
pub use versions::{Comparison, VersionsReport, versions_json, versions_text};

/// A line of the JSON of `reharm`: what there is to propose for a chart, with `--changes` the whole table of
/// a chart, or with `--versions` its versions.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(untagged)]
#[expect(
    dead_code,
    reason = "the schema of the lines is made from it, not the lines"
)]
enum ReharmLine<'a> {
    Proposals(ProposalsReport<'a>),
    Changes(ChangesReport<'a>),
    Versions(VersionsReport<'a>),
}

/// The JSON Schema of the lines, as indented text.
pub fn reharm_schema() -> String {
    schema_text::<ReharmLine<'static>>()
}
