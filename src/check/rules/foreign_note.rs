//! A note that is no tone of the chord, no tension it takes, and in none of the program's shapes of it.
//!
//! What the chord avoids is the affair of `avoid-note`, so that a note is found once. The slash bass
//! belongs to the chord, and so does whatever some shape, in some colour and place, makes of the
//! symbol: the 6 of a bare triad, the raised tone of a diminished chord.

use crate::check::context::Context;
use crate::check::rule::{Fault, FixKind};
use crate::check::{Rule, Severity};
use crate::chord::Chord;
use crate::hand::Violation;
use crate::voicing::{FREE, VoicedNote, Voicing, admitted};

pub(super) const RULE: Rule = Rule {
    name: "foreign-note",
    severity: Some(Severity::Error),
    why: "A note that belongs to another chord makes it another chord.",
    refused: "| Fm7 |\nlh | Ab3.A3.Eb4 |",
    accepted: "| Fm7 |\nlh | G3.Ab3.Eb4 |",
    mends: true,
    check: faults,
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    let given = context.given();
    let free = given.filter(|(_, voicing)| voicing.shape == FREE);
    free.flat_map(|(slot, voicing)| {
        let chord = context.voiced.problem.slots.get(slot);
        let chord = chord.and_then(|slot| slot.symbol.chord());
        let judged = context.judged.get(slot).map_or(&[][..], Vec::as_slice);
        let notes = chord.map_or_else(Vec::new, |chord| foreign(chord, voicing, judged));
        notes.into_iter().map(move |note| Fault {
            place: context.hand_place(slot),
            message: message(context, slot, note),
            fix: FixKind::Slot(slot),
            violation: None,
            severity: None,
        })
    })
    .collect()
}

fn message(context: &Context<'_>, slot: usize, note: &VoicedNote) -> String {
    let symbol = context
        .voiced
        .problem
        .slots
        .get(slot)
        .map(|slot| slot.symbol.text());
    let symbol = symbol.unwrap_or_default();
    format!("{}, the {}, is foreign to {symbol}", note.note, note.degree)
}

/// The notes that the chord has no place for and that nothing was said about yet.
fn foreign<'a>(chord: &Chord, voicing: &'a Voicing, judged: &[Violation]) -> Vec<&'a VoicedNote> {
    let bass = chord
        .bass()
        .map(|bass| chord.root().class().up_to(bass.class()).0);
    let own = |note: &VoicedNote| {
        let class = note.degree.class();
        let mut tones = chord.tones().iter().map(|tone| tone.degree);
        tones.any(|tone| tone.class() == class)
            || chord
                .tensions()
                .iter()
                .any(|tension| tension.class() == class)
            || bass == Some(i32::from(class))
    };
    let said = |note: &VoicedNote| {
        judged.iter().any(|violation| match violation {
            Violation::Avoid(degree) | Violation::RubsBass { degree, .. } => *degree == note.degree,
            Violation::EleventhOverThird => note.degree.class() == 5,
            _ => false,
        })
    };
    let strange: Vec<&VoicedNote> = voicing
        .notes
        .iter()
        .filter(|note| !own(note) && !said(note))
        .collect();
    if strange.is_empty() {
        return strange;
    }
    let shapes = admitted(chord);
    let in_a_shape = |note: &&VoicedNote| {
        let mut degrees = shapes.iter().flat_map(|shape| shape.layout.degrees());
        degrees.any(|degree| degree.class() == note.degree.class())
    };
    strange
        .into_iter()
        .filter(|note| !in_a_shape(note))
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::in_all_keys;

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "foreign-note",
            &[
                "| Fm7 |\nlh | Ab3.A3.Eb4 |",
                "| Cmaj7 |\nlh | E3.Bb3.B3 |",
                "| G7 |\nlh | F3.F#3.B3 |",
            ],
            &[
                "| Fm7 |\nlh | G3.Ab3.Eb4 |",
                "| Cmaj7 |\nlh | E3.A3.B3 |",
                "| G7 |\nlh | F3.Ab3.B3 |",
                "| C |\nlh | E3.A3.D4 |",
                "| C/Bb |\nlh | E3.G3.Bb3 |",
            ],
        );
    }

    #[test]
    fn an_avoid_note_is_found_once() {
        let found = crate::check::rules::tests::found("| Cmaj7 |\nlh | E3.F3.B3 |");
        assert_eq!(found, ["avoid-note"]);
    }
}
