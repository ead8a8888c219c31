//! The play order of a chart: which bars are played, in which order, how many.

use schemars::JsonSchema;
use serde::Serialize;

use crate::chart::{Chart, PlayOrder};

/// A chart's played order, under its stable names.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PlayOrderReport {
    /// The chart's title.
    title: Option<String>,
    /// How many bars are written.
    written: usize,
    /// How many bars are played.
    bars: usize,
    /// How many beats are played.
    beats: u64,
    /// The written bars in the order they are played, counted from 1.
    played: Vec<usize>,
}

/// The play order as one line of JSON.
pub fn play_order_json(chart: &Chart, order: &PlayOrder) -> String {
    super::json::line(&PlayOrderReport {
        title: chart.title().map(str::to_owned),
        written: chart.bars().count(),
        bars: order.bars(),
        beats: order.beats(),
        played: order.visits().iter().map(|visit| visit.bar + 1).collect(),
    })
}

/// The JSON Schema of the line, as indented text.
pub fn play_order_schema() -> String {
    super::json::schema_text::<PlayOrderReport>()
}

/// The play order for people.
pub fn play_order_text(chart: &Chart, order: &PlayOrder) -> String {
    let title = chart.title().unwrap_or("untitled");
    let written = chart.bars().count();
    format!(
        "{title}: {written} bars written, {} played, {} beats\n  {order}\n",
        order.bars(),
        order.beats()
    )
}
