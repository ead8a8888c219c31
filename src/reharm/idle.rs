//! Proposals that bring nothing: only chords that stand beside them already, or a suspension whose upper
//! notes just sounded. And those that change the bass alone, which a hand without roots doesn't play.

use super::in_place::InPlace;
use crate::chord::{Chord, Family};
use crate::pitch::PitchClass;

/// Whether all that is new stands just before or after already, or is a suspended or hybrid chord whose
/// tones above the bass all sounded just before.
pub fn is_idle(proposal: &InPlace<'_>) -> bool {
    let mut changes = proposal.changes().peekable();
    let known = |chord: &Chord| {
        let beside = proposal.before.iter().chain(proposal.after);
        let written = proposal.old.iter().map(|spot| spot.chord);
        let mut beside = beside.copied().chain(written);
        beside.any(|other| other.symbol() == chord.symbol() || is_same_dominant(chord, other))
    };
    changes.peek().is_some()
        && changes.all(|meeting| {
            let chord = &meeting.new.chord;
            known(chord) || is_open(chord) && just_sounded(proposal, chord)
        })
}

/// Whether a chord is a dominant seventh where one on its root stands: A7 is nothing new beside A13.
fn is_same_dominant(chord: &Chord, other: &Chord) -> bool {
    let plain = |chord: &Chord| chord.family() == Family::Dominant && chord.bass().is_none();
    let tones = |chord: &Chord| chord.classes().collect::<Vec<_>>();
    let root = chord.root().class() == other.root().class();
    root && plain(chord) && plain(other) && tones(chord).iter().all(|tone| has(other, *tone))
}

/// Whether a chord leaves its third open.
fn is_open(chord: &Chord) -> bool {
    chord.family() == Family::Suspended || is_hybrid(chord)
}

/// Whether a chord stands over a bass that is no tone of it.
pub(super) fn is_hybrid(chord: &Chord) -> bool {
    chord.bass().is_some_and(|bass| !has(chord, bass.class()))
}

/// Whether all tones above the bass are in the chord that sounds just before.
fn just_sounded(proposal: &InPlace<'_>, chord: &Chord) -> bool {
    let at = proposal.new.iter().position(|new| new.chord == *chord);
    let inside = at.and_then(|at| at.checked_sub(1));
    let inside = inside.and_then(|before| proposal.new.get(before));
    let bass = chord.lowest().class();
    let in_chord = |before: &Chord| {
        let mut upper = chord.classes().filter(|class| *class != bass);
        upper.all(|class| has(before, class))
    };
    match inside {
        Some(before) => in_chord(&before.chord),
        None => !proposal.before.is_empty() && proposal.before.iter().all(|c| in_chord(c)),
    }
}

fn has(chord: &Chord, class: PitchClass) -> bool {
    chord.classes().any(|tone| tone == class)
}

/// Whether the chords stay and only the bass below them moves.
pub fn is_bass_only(proposal: &InPlace<'_>) -> bool {
    let mut changes = proposal.changes().peekable();
    changes.peek().is_some()
        && changes.all(|meeting| {
            let (old, new) = (meeting.spot.chord, &meeting.new.chord);
            let root = old.root().class() == new.root().class();
            let mut tones = new.tones().iter();
            root && old.bass() != new.bass()
                && tones.all(|tone| old.tones().iter().any(|t| t.degree == tone.degree))
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Beats, NewChord};
    use crate::harmony::Spot;
    use crate::reharm::Language;

    fn bass_only(old: &str, new: &[&str]) -> bool {
        let old = Chord::read(old).unwrap();
        let spot = Spot {
            chord: &old,
            key: None,
            bar: 1,
            beat: Beats::whole(1),
            beats: Beats::whole(4),
            bar_beats: Beats::whole(4),
            melody_notes: &[],
        };
        let new: Vec<NewChord> = (1..)
            .zip(new)
            .map(|(beat, symbol)| NewChord {
                bar: 1,
                beat: Beats::whole(beat),
                beats: Beats::whole(1),
                chord: Chord::read(symbol).unwrap(),
            })
            .collect();
        is_bass_only(&InPlace {
            old: &[spot],
            new: &new,
            before: &[],
            after: &[],
            language: Language::default(),
            tempo: None,
            at: 0,
            opens: false,
        })
    }

    #[test]
    fn only_the_bass_moves_where_every_new_chord_has_the_tones_of_the_old_over_another() {
        for (old, new, wanted) in [
            ("Cm7", &["Cm7", "Cm7/Bb"][..], true),
            ("Cm7", &["Cm7/Eb", "Cm7/Bb"], true),
            // A tone less is no other chord to a hand without roots; a tone that is new is.
            ("Cm7", &["Cm/Bb"], true),
            ("Cm", &["Cm7/Bb"], false),
            ("C6", &["Cm6/Eb"], false),
            ("Cm7", &["Cm7/Eb", "Cm6/Bb"], false),
            ("Cm7", &["Eb6/C"], false),
            ("Cm7", &["Cm6"], false),
            ("Cm7", &["Cm7"], false),
        ] {
            assert_eq!(bass_only(old, new), wanted, "{old} {new:?}");
        }
    }
}
