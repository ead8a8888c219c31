//! The neighbours of a chord in a row.

use crate::chord::Chord;

/// The chords just before and just after one in a row.
pub(super) fn beside<'a>(chords: &[&'a Chord], at: usize) -> impl Iterator<Item = &'a Chord> {
    let places = [at.checked_sub(1), Some(at + 1)];
    let beside = places.map(|place| place.and_then(|place| chords.get(place)).copied());
    beside.into_iter().flatten()
}
