//! The road of a chart: which bars are played, in which order, how many.

use schemars::JsonSchema;
use serde::Serialize;

use crate::chart::{Chart, Road};

/// A chart's played order, under its stable names.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RoadReport {
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

/// The road as one line of JSON.
pub fn road_json(chart: &Chart, road: &Road) -> String {
    super::json::line(&RoadReport {
        title: chart.title().map(str::to_owned),
        written: chart.bars().count(),
        bars: road.bars(),
        beats: road.beats(),
        played: road.visits().iter().map(|visit| visit.bar + 1).collect(),
    })
}

/// The road for people.
pub fn road_text(chart: &Chart, road: &Road) -> String {
    let title = chart.title().unwrap_or("untitled");
    let written = chart.bars().count();
    format!(
        "{title}: {written} bars written, {} played, {} beats\n  {road}\n",
        road.bars(),
        road.beats()
    )
}
