//! What a musician should know about a chart that was read without a mistake.

use std::collections::BTreeSet;

use super::{Chart, Chords, Diagnostic, near_heading};
use crate::chord::Chord;

impl Chart {
    /// One warning for each header name that is nearly a known one, and for each chord symbol that
    /// players read in two ways, at its first place: which reading was taken.
    pub fn warnings(&self) -> Vec<Diagnostic> {
        let mut seen = BTreeSet::new();
        let cells = self.bars().flat_map(|bar| match &bar.chords {
            Chords::Written(cells) => cells.as_slice(),
            Chords::Again => &[],
        });
        let headings = self.header.entries.iter().filter_map(near_heading::warning);
        let readings = cells
            .filter(|cell| seen.insert(cell.symbol.text()))
            .filter_map(|cell| {
                let reading = cell.symbol.chord().and_then(Chord::reading)?;
                let message = format!("`{}` is {reading}", cell.symbol.text());
                Some(Diagnostic::warning(
                    cell.span.range(),
                    message,
                    "two readings are in use",
                ))
            });
        headings.chain(readings).collect()
    }
}
