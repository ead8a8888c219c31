//! The tables of low-interval limits for programs.

use schemars::JsonSchema;
use serde::Serialize;

use super::json::{line, schema_text};
use crate::hand::LimitTable;

/// A table of low-interval limits, under its stable names.
#[derive(Debug, Serialize, JsonSchema)]
struct LimitTableReport<'a> {
    /// Its name.
    table: &'a str,
    /// A limit for each interval, the smallest first.
    limits: Vec<LimitJson>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Limit")]
struct LimitJson {
    /// The interval, such as `m3`.
    interval: String,
    /// Its size.
    semitones: u8,
    /// The lowest its lower note may lie, as a MIDI number; null for no limit.
    lowest: Option<u8>,
    /// Where the number is from.
    source: String,
}

/// The tables as JSON, a line a table.
pub fn limits_json(tables: &[LimitTable]) -> String {
    tables.iter().map(|table| line(&report(table))).collect()
}

/// The JSON Schema of the lines, as indented text.
pub fn limits_schema() -> String {
    schema_text::<LimitTableReport<'static>>()
}

fn report(table: &LimitTable) -> LimitTableReport<'_> {
    let limits = table.rows().map(|(interval, semitones, limit)| LimitJson {
        interval: interval.to_string(),
        semitones,
        lowest: limit.floor.map(|floor| floor.midi()),
        source: limit.provenance.to_string(),
    });
    LimitTableReport {
        table: table.name(),
        limits: limits.collect(),
    }
}
