//! Where in a chart a finding is.

use crate::chart::{Beats, Slot, Span};

/// Where a finding is. What a finding about the whole chart has no part in is `None`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FindingPlace {
    /// The slot, by its place among [`Chart::slots`](crate::chart::Chart::slots).
    pub slot: Option<usize>,
    /// The section's name, empty for music before any heading.
    pub section: Option<String>,
    /// The written bar, from 1.
    pub bar: Option<usize>,
    /// The beat of the bar, from 1.
    pub beat: Option<Beats>,
    /// The chord symbol.
    pub symbol: Option<String>,
    /// The source text it is about: the `lh` entry for a voicing, the symbol for a symbol. `None` for
    /// the whole chart, and for a chart that was not read from text.
    pub span: Option<Span>,
}

impl FindingPlace {
    /// Whether both are about the same stretch of the same source. Equality alone doesn't tell: all spans are
    /// equal, so that a chart read from another layout is the same chart.
    pub fn is_same_stretch(&self, other: &Self) -> bool {
        let range = |place: &Self| place.span.map(Span::range);
        self == other && range(self) == range(other)
    }

    /// The whole chart.
    pub(super) fn chart(span: Option<Span>) -> Self {
        Self {
            span,
            ..Self::default()
        }
    }

    /// A slot's left hand, or its chord symbol.
    pub(super) fn of(slot: &Slot, symbol: bool, from_text: bool) -> Self {
        let span = slot.hand_span.filter(|_| !symbol).unwrap_or(slot.span);
        Self {
            slot: Some(slot.index),
            section: Some(slot.section.to_string()),
            bar: Some(slot.bar),
            beat: Some(slot.beat),
            symbol: Some(slot.symbol.text().to_owned()),
            span: from_text.then_some(span),
        }
    }
}
