//! The file that known findings are on record in.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Fingerprint;

/// A record of known findings, under its stable names.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
pub struct RecordReport {
    /// Always `compline-known`.
    pub format: String,
    /// The version of this format.
    pub version: u32,
    /// What is known.
    pub findings: Vec<RecordEntry>,
}

/// Findings that are alike.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
pub struct RecordEntry {
    /// The chart, by its path from the record's folder.
    pub chart: String,
    /// The rule.
    pub rule: String,
    /// The section's name.
    pub section: String,
    /// The chord symbol.
    pub symbol: String,
    /// The notes the chart gives there, joined by dots.
    pub notes: String,
    /// How many there are.
    pub count: usize,
}

impl RecordEntry {
    /// So many alike in a chart.
    pub fn of(chart: &str, same: &Fingerprint, count: usize) -> Self {
        Self {
            chart: chart.to_owned(),
            rule: same.rule.clone(),
            section: same.section.clone(),
            symbol: same.symbol.clone(),
            notes: same.notes.clone(),
            count,
        }
    }

    /// The chart, and what is alike.
    pub fn parted(self) -> (String, Fingerprint) {
        let same = Fingerprint {
            rule: self.rule,
            section: self.section,
            symbol: self.symbol,
            notes: self.notes,
        };
        (self.chart, same)
    }
}
