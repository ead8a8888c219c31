//! Where the columns of a bar stand on the page.

use super::drawing::Length;
use crate::score::Quarters;

/// Where the columns of a bar stand, and its left and right edge.
#[derive(Debug)]
pub(super) struct ColumnPlaces {
    pub places: Vec<(Quarters, Length)>,
    pub left: Length,
    pub right: Length,
}

impl ColumnPlaces {
    /// Where the column of a moment stands.
    pub fn at(&self, at: Quarters) -> Length {
        self.places
            .iter()
            .find(|(moment, _)| *moment == at)
            .map_or(self.left, |(_, x)| *x)
    }
}
