//! What becomes of the melody's long notes.

use super::weights::{
    BENT_SLIDE, DEEP, FALL, FLAT_NINTH, FOREIGN_TO_DIMINISHED, LONG, SHARP_NINTH, WEIGHTY,
};
use crate::chart::{Beats, MelodyNote};
use crate::chord::{Chord, Family};
use crate::harmony::passage::is_diatonic;
use crate::reharm::in_place::{InPlace, Meeting};

/// The points: 2 where the melody stays on a b9, else 1 where a weighty note becomes a much poorer degree.
pub(super) fn degree(proposal: &InPlace<'_>) -> u32 {
    let notes = proposal.changes().flat_map(|meeting| {
        let melody_notes = meeting.spot.melody_notes.iter();
        melody_notes.map(move |note| points(&meeting, note))
    });
    let bent = proposal.changes().any(|meeting| is_bent_slide(&meeting));
    let bent = if bent { BENT_SLIDE } else { 0 };
    notes.max().unwrap_or(0).max(bent)
}

/// Whether half of the melody over a dominant on a root outside the key is on its b9 and b13, and was not before.
fn is_bent_slide(meeting: &Meeting<'_>) -> bool {
    let (old, new) = (meeting.spot.chord, &meeting.new.chord);
    let sung = || meeting.spot.melody_notes.iter();
    let is_bent = |note: &&MelodyNote| {
        let above = new.root().class().up_to(note.note.name().class()).0;
        matches!(above, 1 | 8) && class(old, note) < class(new, note)
    };
    let all: Beats = sung().map(|note| heard(meeting, note)).sum();
    let bent: Beats = sung()
        .filter(is_bent)
        .map(|note| heard(meeting, note))
        .sum();
    let dominant = new.family() == Family::Dominant && slides(meeting);
    dominant && bent > Beats::ZERO && bent + bent >= all
}

fn points(meeting: &Meeting<'_>, note: &MelodyNote) -> u32 {
    let heard = heard(meeting, note);
    let (old, new) = (meeting.spot.chord, &meeting.new.chord);
    let (before, now) = (class(old, note), class(new, note));
    match now {
        Class::FlatNinth if heard >= LONG && before < now => FLAT_NINTH,
        // A dominant on a root outside the key slides down: its 9 is natural, as its scale's.
        Class::FlatNinth if heard >= WEIGHTY && before < now && slides(meeting) => FLAT_NINTH,
        Class::Altered
            if heard >= LONG && before == Class::ChordTone && is_sharp_ninth(new, note) =>
        {
            SHARP_NINTH
        }
        Class::Altered if heard >= LONG && new.family() == Family::Diminished => {
            FOREIGN_TO_DIMINISHED
        }
        _ if heard >= WEIGHTY && (now as u32) >= (before as u32) + DEEP => FALL,
        _ => 0,
    }
}

fn is_sharp_ninth(chord: &Chord, note: &MelodyNote) -> bool {
    let above = chord.root().class().up_to(note.note.name().class()).0;
    chord.family() == Family::Dominant && above == 3
}

/// Whether the new chord is on a root outside the key.
fn slides(meeting: &Meeting<'_>) -> bool {
    let root = meeting.new.chord.root().class();
    let key = meeting.spot.key;
    key.is_some_and(|key| !is_diatonic(key, root))
}

/// How good a degree is, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Class {
    ChordTone,
    /// 9, 11, #11 or 13
    Tension,
    /// #9 or b13, or foreign to a diminished chord
    Altered,
    FlatNinth,
}

/// What a note is over a chord: an alteration of a dominant counts as one even where the symbol names it, and
/// a sixth a half step above the fifth of any other chord is no better.
fn class(chord: &Chord, note: &MelodyNote) -> Class {
    let above = chord.root().class().up_to(note.note.name().class()).0;
    let dominant = chord.family() == Family::Dominant;
    let mut tones = chord.tones().iter();
    let in_chord = tones.any(|tone| i32::from(tone.degree.class()) == above);
    let bass = chord.bass().map(|bass| bass.class());
    match above {
        1 if dominant => Class::FlatNinth,
        3 | 8 if dominant => Class::Altered,
        8 if !in_chord => Class::Altered,
        _ if bass == Some(note.note.name().class()) => Class::ChordTone,
        _ if in_chord => Class::ChordTone,
        // A half step above it lies a tone of the chord.
        _ if chord.family() == Family::Diminished => Class::Altered,
        _ => Class::Tension,
    }
}

/// How long a note sounds while the two chords meet.
fn heard(meeting: &Meeting<'_>, note: &MelodyNote) -> Beats {
    let (spot, new) = (meeting.spot, meeting.new);
    let end = spot.end().min(new.beat + new.beats);
    let end = end.min(note.beat + note.beats);
    let start = spot.beat.max(new.beat).max(note.beat);
    end - start.min(end)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What each of the twelve sounds above the root is: tone, tension, altered, flat ninth.
    #[test]
    fn every_sound_over_a_chord_has_its_class() {
        for (symbol, wanted) in [
            ("C6", "t---t--tat--"),
            ("C", "t---t--ta---"),
            ("C+", "t---t---t---"),
            ("Cm7", "t--t---ta-t-"),
            ("Cm(b6)", "t--t---tt---"),
            ("C7", "tf-at--ta-t-"),
            ("C7#9", "tf-at--ta-t-"),
            ("C7b9", "tf-at--ta-t-"),
            ("C/D", "t-t-t--ta---"),
            ("Cm7b5", "t--t--t-a-t-"),
            ("Cdim7", "taataataataa"),
        ] {
            let chord = Chord::read(symbol).unwrap();
            let found: String = (0..12)
                .map(|above| {
                    let note = MelodyNote {
                        note: [
                            "C5", "Db5", "D5", "Eb5", "E5", "F5", "Gb5", "G5", "Ab5", "A5", "Bb5",
                            "B5",
                        ][above]
                            .parse()
                            .unwrap(),
                        beat: Beats::whole(1),
                        beats: Beats::whole(4),
                        tied: false,
                        beside: [None; 2],
                    };
                    match class(&chord, &note) {
                        Class::ChordTone => 't',
                        Class::Tension => '-',
                        Class::Altered => 'a',
                        Class::FlatNinth => 'f',
                    }
                })
                .collect();
            assert_eq!(found, wanted, "{symbol}");
        }
    }
}
