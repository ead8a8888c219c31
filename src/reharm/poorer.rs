//! Proposals that give the hand less to play: a triad, plain or over a bass that is no tone of it, for a
//! chord of four tones.
//!
//! Such a chord asks for no tensions, so it costs no surcharge for those it leaves out, and fewer notes
//! move. That is no merit of the harmony (common practice, no source).

use super::in_place::InPlace;
use crate::chord::Chord;

/// So many notes the hand plays of a chord of four tones and of any larger one.
const FOUR: usize = 4;

/// Whether one of the new chords has fewer tones than a chord in whose time it stands.
pub(super) fn is_poorer(proposal: &InPlace<'_>) -> bool {
    let mut changes = proposal.changes();
    changes.any(|meeting| tones(&meeting.new.chord) < tones(meeting.spot.chord))
}

/// How many tones a chord asks for, up to the four that the hand plays of any.
fn tones(chord: &Chord) -> usize {
    chord.classes().count().min(FOUR)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reharm::in_place::one_for_one;

    #[test]
    fn a_triad_for_four_tones_is_poorer_and_a_triad_for_a_triad_is_not() {
        let poorer = |old: &str, new: &str| one_for_one(old, new, is_poorer);
        assert!(poorer("Fm7", "Cm/F") && poorer("Gm7", "Gm"));
        assert!(!poorer("C7b9", "Gm7b5") && !poorer("C7alt", "Gb7"));
        assert!(!poorer("G", "D/F#") && !poorer("G", "Bm7") && !poorer("G7", "Db7"));
    }
}
