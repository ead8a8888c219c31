//! The note under the hand, when it is to count: a bass player's, at a stated octave.
//!
//! The texts say: if the lowest note of a voicing is not the root, assume a root immediately below
//! it and test that interval too (Lowell & Pullig 2003, sect. 1-4). Taken literally that refuses most
//! rootless voicings around C3, while the bass that really sounds is one or two octaves lower. So the
//! rule is off unless asked for, and the octave of the assumed note is then stated by whoever asks.

use crate::chord::Chord;
use crate::pitch::{Note, Pitch};

/// The note that sounds under the hand: the slash bass if the symbol has one, otherwise the root, in
/// the given octave (C4 is middle C). `None` off the MIDI range.
pub fn bass(chord: &Chord, octave: i32) -> Option<Pitch> {
    Note::new(chord.bass().unwrap_or_else(|| chord.root()), octave).pitch()
}
