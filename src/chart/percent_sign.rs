//! What a `%` stands for: the chords of the bar before, on the page of now and on the page as it was.

use super::{Bar, Cell, Chart, Chords, Place, Was};

/// The sign that repeats the chords of the bar before.
pub(super) const PERCENT_SIGN: &str = "%";

impl Chords {
    /// The chords themselves, in a bar after one of the chords `before`.
    pub(in crate::chart) fn over<'a>(&'a self, before: &'a [Cell]) -> &'a [Cell] {
        self.written().unwrap_or(before)
    }

    /// The chords that stand in the bar; `None` for a `%`.
    pub(crate) fn written(&self) -> Option<&[Cell]> {
        match self {
            Self::Again => None,
            Self::Written(cells) => Some(cells),
        }
    }
}

impl Bar {
    /// The chords it had before any were replaced, in a bar after one that had the chords `before` then.
    pub(in crate::chart) fn chords_before<'a>(&'a self, before: &'a [Cell]) -> &'a [Cell] {
        match &self.was {
            Some(Was::Other(other)) => other.over(before),
            _ => self.chords.over(before),
        }
    }
}

impl Chart {
    /// Every bar, in the order they are written, with its place (the chord's is 0) and its chords.
    pub(in crate::chart) fn bars_with_chords(
        &self,
    ) -> impl Iterator<Item = (Place, &Bar, &[Cell])> {
        self.placed_bars().scan(&[][..], |before, (place, bar)| {
            *before = bar.chords.over(before);
            Some((place, bar, *before))
        })
    }
}
