//! What a musician should know about a chart that was read without a mistake.

use std::collections::BTreeSet;

use super::{Chart, Diagnostic, near_heading, respelled_key, twin_section};
use crate::chord::Chord;

impl Chart {
    /// One warning for each heading that is to be asked about, and for each chord symbol that
    /// players read in two ways, at its first place: which reading was taken.
    pub fn warnings(&self) -> Vec<Diagnostic> {
        let mut seen = BTreeSet::new();
        let cells = self.bars().filter_map(|bar| bar.chords.written()).flatten();
        let readings = cells
            .filter_map(|cell| Some((cell, cell.symbol.chord().and_then(Chord::reading)?)))
            .filter(|(cell, _)| seen.insert(cell.symbol.text()))
            .map(|(cell, reading)| {
                let message = format!("`{}` is {reading}", cell.symbol.text());
                Diagnostic::warning(cell.span.range(), message, "two readings are in use")
            });
        let headings = self.heading_warnings().into_iter();
        let headings = headings.chain(self.key_warnings());
        headings.chain(readings).collect()
    }

    /// One warning for each header name that is nearly a known one, and for each section whose name another
    /// one has already, where a `play` line goes by names.
    pub fn heading_warnings(&self) -> Vec<Diagnostic> {
        let near = self.header.entries.iter().filter_map(near_heading::warning);
        near.chain(twin_section::warnings(self)).collect()
    }

    /// One warning for each key that is written under a name without a signature.
    pub fn key_warnings(&self) -> Vec<Diagnostic> {
        respelled_key::warnings(self).collect()
    }
}
