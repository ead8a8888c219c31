//! The remarks of the program in a chart that is rewritten: written afresh where it had some.

use compline::arrange::{Cache, Settings, arrange};
use compline::chart::{self, Chart, remark_labels};
use compline::formats::{Style, remarked};

/// What is said where they can't be written afresh.
pub const LEFT_OUT: &str = "the program's remarks (the lines with `;:`) are left out";

/// What became of the remarks of a chart that was rewritten.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RemarksOutcome {
    /// It had none, or has them as before or afresh.
    Kept,
    /// They are left out: the chart is not in its standard layout, or has no plan as it stands.
    LeftOut,
}

/// The text of a chart with those remarks, written afresh, that its `source` had.
///
/// `text` is the chart as it is now, without any.
pub fn afresh(
    text: String,
    source: &str,
    settings: &Settings,
    cache: &mut Cache,
) -> (String, RemarksOutcome) {
    let labels = remark_labels(source);
    if labels.is_empty() {
        return (text, RemarksOutcome::Kept);
    }
    let tidy = |chart: &Chart| chart.tidy() == text;
    let planned = chart::read(&text).ok().filter(tidy);
    let planned = planned.and_then(|chart| arrange(chart, settings, cache).ok());
    match planned {
        Some(planned) => (
            remarked(&planned, &Style::default(), &labels),
            RemarksOutcome::Kept,
        ),
        None => (text, RemarksOutcome::LeftOut),
    }
}
