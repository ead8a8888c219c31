//! Roads written out by hand, mistakes with their places, and random forms.

mod forms;
mod goldens;
mod impossible;
mod random;

use compline::chart::{self, Chart, Problem, Road};

/// Reads a chart that must be readable.
fn read(source: &str) -> Chart {
    chart::read(source).unwrap_or_else(|problems| panic!("{source}\n{problems:#?}"))
}

/// The road of a chart, bars counted from 1.
fn bars(road: &Road) -> Vec<usize> {
    road.visits().iter().map(|visit| visit.bar + 1).collect()
}

/// The problems that stand in the way of a road, wherever they are found.
fn problems(source: &str) -> Vec<Problem> {
    match chart::read(source).map(|chart| chart.road()) {
        Ok(Err(problems)) | Err(problems) => problems,
        Ok(Ok(road)) => panic!("{source}\nhas a road: {road}"),
    }
}
