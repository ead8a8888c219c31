//! Places that somebody asks to hold, or to free.

use std::collections::BTreeSet;

/// Slots that are asked for, by their index.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct AskedPlaces {
    /// To be held, as they are.
    pub hold: BTreeSet<usize>,
    /// To be free, whatever holds them.
    pub free: BTreeSet<usize>,
}
