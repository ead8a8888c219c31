//! A tune written in triads: one whose symbols say so exactly which tones are meant that a bare triad is meant
//! bare, as in a folk song (G G/B C D Gsus4 G).
//!
//! Two things tell it, by a rule of ours (common practice, no source): twice as many triads as chords with a
//! seventh or a sixth, and two triads or more with a mark of their own, which is another bass, a 4 or 2 for the
//! third, or an added tone. A row of nothing but bare triads is not told from a jazz player's shorthand.

use crate::chord::{Chord, Family};

/// How many triads with a mark of their own a tune has at least.
const FEWEST: usize = 2;

/// Whether a row of chords, repeats left out, is a tune written in triads.
pub(super) fn is_triad_tune(chords: &[&Chord]) -> bool {
    let triads = chords.iter().filter(|chord| is_triad(chord)).count();
    let others = chords.iter().filter(|chord| chord.seventh().is_some());
    let marked = chords.iter().filter(|chord| is_marked(chord)).count();
    marked >= FEWEST && triads >= 2 * others.count()
}

/// Whether a chord is a triad, with or without an added tone, over any bass.
fn is_triad(chord: &Chord) -> bool {
    let family = matches!(
        chord.family(),
        Family::Major | Family::Minor | Family::Suspended
    );
    family && chord.seventh().is_none()
}

/// Whether the symbol of a triad says more than the triad.
fn is_marked(chord: &Chord) -> bool {
    let more = chord.tones().len() > 3 || chord.family() == Family::Suspended;
    is_triad(chord) && (more || chord.is_triad_over_bass())
}
