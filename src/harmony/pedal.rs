//! A bare triad beside a chord over the triad's own root (G and A/G) begins or ends a pedal: the bass stays,
//! triads move over it (common practice, no source).

use crate::chord::Chord;

use super::beside::beside;

/// Whether the triad at a place in a row of chords begins or ends a pedal.
pub(super) fn is_at_pedal(chords: &[&Chord], at: usize) -> bool {
    let triad = chords.get(at);
    triad.is_some_and(|triad| beside(chords, at).any(|one| stands_over(one, triad)))
}

/// Whether a chord on another root has the root of `below` for its bass.
fn stands_over(chord: &Chord, below: &Chord) -> bool {
    let root = below.root().class();
    chord.root().class() != root && chord.lowest().class() == root
}
