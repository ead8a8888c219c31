//! The note under the hand: what an added tone must keep clear of, and, when it is to count for the
//! low-interval limits, a bass player's note at a stated octave.
//!
//! The texts say: if the lowest note of a voicing is not the root, assume a root immediately below
//! it and test that interval too (Lowell & Pullig 2003, sect. 1-4). Taken literally that refuses most
//! rootless voicings around C3, while the bass that really sounds is one or two octaves lower. So the
//! rule is off unless asked for, and the octave of the assumed note is then stated by whoever asks.

use crate::chord::{Chord, Tone};
use crate::pitch::{Degree, Note, Pitch};

/// The note that sounds under the hand: the slash bass if the symbol has one, otherwise the root, in
/// the given octave (C4 is middle C). `None` off the MIDI range.
pub fn bass(chord: &Chord, octave: i32) -> Option<Pitch> {
    Note::new(chord.bass().unwrap_or_else(|| chord.root()), octave).pitch()
}

/// Whether a tone the symbol does not ask for lies a half step above or below its slash bass, at any
/// octave: the Eb that would be added to Fm/E (common practice, no source).
///
/// Never where the bass is the root: a flat ninth over it is a colour like any other.
pub(crate) fn rubs_bass(chord: &Chord, degree: Degree) -> bool {
    let asked = |tone: &Tone| tone.degree.class() == degree.class();
    let root = chord.root().class();
    let Some(bass) = chord.bass().filter(|bass| bass.class() != root) else {
        return false;
    };
    let gap = i32::from(degree.class()) - root.up_to(bass.class()).0;
    matches!(gap.rem_euclid(12), 1 | 11) && !chord.tones().iter().any(asked)
}
