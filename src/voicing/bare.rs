//! A bare triad as players read it: the seventh or sixth it is given.
//!
//! A major triad is a six-nine, a minor one a minor ninth or, at rest, a minor six-nine (common
//! practice, no source). Over a bass that is not its root it stays a triad: nobody else plays its tones,
//! and Am/G says by its bass that it is Am7. A major triad that is the dominant of a minor chord (E before
//! Am) is its seventh chord: the 6 and the 9 of a six-nine would be foreign to where it goes. So is one under
//! its minor seventh in the melody: D under C is D7. A minor tonic under its b6 is a minor seventh
//! chord.

use crate::chord::{Chord, Family};
use crate::harmony::HarmonicContext;
use crate::pitch::{Degree, Pitch};

use super::available::is_dark;

/// What stands in the seventh's place of a bare triad; `None` where the triad stays one.
pub(super) fn seventh(chord: &Chord, context: HarmonicContext, melody: &[Pitch]) -> Option<Degree> {
    if chord.is_triad_over_bass() {
        return None;
    }
    match chord.family() {
        Family::Major if is_dark(context.scale) || sings_seventh(chord, melody) => {
            Some(Degree::FLAT_SEVENTH)
        }
        Family::Major => Some(Degree::SIXTH),
        Family::Minor if context.tonic && !sings_flat_sixth(chord, melody) => Some(Degree::SIXTH),
        Family::Minor => Some(Degree::FLAT_SEVENTH),
        _ => None,
    }
}

/// Whether the melody has the b6 over a chord's root, beside which the 6 is another scale's.
fn sings_flat_sixth(chord: &Chord, melody: &[Pitch]) -> bool {
    let above_root = |key: &Pitch| chord.root().class().up_to(key.class()).0;
    melody.iter().any(|key| above_root(key) == 8)
}

/// Whether the melody has the minor seventh over a chord's root.
pub(crate) fn sings_seventh(chord: &Chord, melody: &[Pitch]) -> bool {
    let seventh = chord.root().class().plus(Degree::FLAT_SEVENTH.semitones());
    melody.iter().any(|key| key.class() == seventh)
}
