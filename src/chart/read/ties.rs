//! Whether every note that is tied over a bar line goes on behind it.

use super::problems::Problems;
use crate::chart::{Bar, Chart, Diagnostic};

/// Notes ties that lead nowhere.
pub(super) fn check(chart: &Chart, problems: &mut Problems) {
    let loose = chart.loose_ties();
    let bars = (0..).zip(chart.bars());
    let bars = bars.filter(|(at, _)| loose.binary_search(at).is_ok());
    bars.for_each(|(_, bar)| problems.add_some(leads_nowhere(bar)));
}

fn leads_nowhere(bar: &Bar) -> Option<Diagnostic> {
    let last = bar.melody.as_deref()?.last()?;
    let problem = Diagnostic::error(
        last.span.range(),
        "this tie leads nowhere: no bar that is played next begins with its note",
        "a note without `-`, or the same note in the next bar",
    );
    Some(problem.help("a note that ends with its bar needs no tie"))
}
