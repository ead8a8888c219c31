//! Play orders written out by hand, mistakes with their places, and random forms.

mod forms;
mod goldens;
mod impossible;
mod random;

use compline::chart::{self, Chart, Diagnostic, PlayOrder};

/// Reads a chart that must be readable.
fn read(source: &str) -> Chart {
    chart::read(source).unwrap_or_else(|problems| panic!("{source}\n{problems:#?}"))
}

/// The play order of a chart, bars counted from 1.
fn bars(order: &PlayOrder) -> Vec<usize> {
    order.visits().iter().map(|visit| visit.bar + 1).collect()
}

/// The problems that stand in the way of a play order, wherever they are found.
fn problems(source: &str) -> Vec<Diagnostic> {
    match chart::read(source).map(|chart| chart.play_order()) {
        Ok(Err(problems)) | Err(problems) => problems.into(),
        Ok(Ok(order)) => panic!("{source}\nhas a play order: {order}"),
    }
}
