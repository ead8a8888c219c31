//! A bare triad beside a suspended triad on its own root (Dsus4 and D): the 4 falls to the 3, or rises from
//! it, and nothing else moves (common practice, no source).

use crate::chord::{Chord, Family};

use super::beside::beside;

/// Whether the triad at a place in a row of chords resolves or prepares a suspension.
pub(super) fn is_at_suspension(chords: &[&Chord], at: usize) -> bool {
    let triad = chords.get(at);
    triad.is_some_and(|triad| beside(chords, at).any(|one| suspends(one, triad)))
}

/// Whether the chord at a place in a row of chords resolves a suspension.
pub(super) fn ends_suspension(chords: &[&Chord], at: usize) -> bool {
    let before = at.checked_sub(1).and_then(|before| chords.get(before));
    let pair = before.zip(chords.get(at));
    pair.is_some_and(|(before, chord)| suspends(before, chord))
}

/// Whether a chord is another with a 4 or a 2 for its third.
fn suspends(chord: &Chord, triad: &Chord) -> bool {
    let bare = chord.family() == Family::Suspended && chord.tones().len() == 3;
    bare && chord.lowest().class() == triad.root().class()
}
