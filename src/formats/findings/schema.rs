//! The schema of all the JSON that `check` writes.

use schemars::JsonSchema;
use serde::Serialize;

use super::json::FindingReport;
use super::record::RecordReport;
use super::roughest::Rough;
use super::rules::RuleReport;
use crate::formats::json::schema_text;

/// A line of the JSON of `check`: a finding, with `--rules` a rule, with `--roughest` a voicing; or the
/// record that `--record` writes.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(untagged)]
#[expect(
    dead_code,
    clippy::large_enum_variant,
    reason = "the schema of the lines is made from it, not the lines"
)]
enum CheckLine<'a> {
    Finding(FindingReport<'a>),
    Rule(RuleReport),
    Rough(Rough),
    Record(RecordReport),
}

/// The JSON Schema of the lines and of the record, as indented text.
pub fn findings_schema() -> String {
    schema_text::<CheckLine<'static>>()
}
