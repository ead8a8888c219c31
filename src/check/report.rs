//! What came of checking one chart.

use super::{Finding, Severity};
use crate::arrange::Totals;

/// What came of checking one chart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    /// The chart's title.
    pub title: Option<String>,
    /// What is wrong: by slot, what is about the whole chart first; in a slot in the order of
    /// [`RULES`](super::RULES).
    pub findings: Vec<Finding>,
    /// What the chart suppresses, with its reasons, in the same order; it counts as nothing.
    pub suppressed: Vec<Finding>,
    /// How many slots the chart has.
    pub slots: usize,
    /// How many of them have a voicing of their own in the chart.
    pub given: usize,
    /// How many are still to be planned.
    pub open: usize,
    /// What the performance as given costs, slots still to be planned planned around it. `None`
    /// where the chart gives no voicing.
    pub as_given: Option<Totals>,
    /// What the best plan costs under the same settings with every voicing freed. `None` where the
    /// chart gives no voicing.
    pub best: Option<Totals>,
}

impl Report {
    /// The greatest severity among the findings; `None` when all is well.
    pub fn worst(&self) -> Option<Severity> {
        self.findings.iter().map(|finding| finding.severity).max()
    }

    /// Whether the chart has chords, and no left hand yet: then there is nothing to check but its
    /// symbols and its melody.
    pub const fn is_unvoiced(&self) -> bool {
        self.given == 0 && self.open > 0
    }

    /// How many findings there are at or above a severity.
    pub fn count_from(&self, least: Severity) -> usize {
        let findings = self.findings.iter();
        findings.filter(|finding| finding.severity >= least).count()
    }
}

/// A chart that was mended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mended {
    /// The chart with the faulty voicings replanned.
    pub chart: crate::chart::Chart,
    /// The text of that chart: the source with only those voicings (and the program's own remarks
    /// about them) replaced, or its standard layout where the source was in it. Byte for byte the
    /// source when nothing was mended.
    pub text: String,
    /// What was wrong before.
    pub before: Report,
    /// What is still wrong.
    pub after: Report,
    /// The slots whose voicing is another one now, rising.
    pub changed: Vec<usize>,
}
