//! Accidentals: which notes of a bar need one printed.

use std::collections::BTreeMap;

use super::written_note::Written;
use crate::pitch::{Key, Letter};

/// Prints an accidental where a note differs from the key's signature, or from what the same line of
/// the staff had earlier in the bar. A note tied to the one before needs none; behind one that is tied
/// over the bar line, the next note on its line has one in any case (common practice, no source).
pub(super) fn print(all: &mut [Written], key: Option<Key>) {
    let signature = |letter| key.map_or(0, |key| in_signature(key.fifths(), letter));
    // Nothing holds for sure on the line of a note from the bar before.
    let mut heard: BTreeMap<(i32, Letter), Option<i8>> = BTreeMap::new();
    let mut from_before = true;
    for written in all {
        let tied = written.tie.stops;
        from_before &= tied;
        let printed = written.notes.iter().map(|note| {
            let (letter, alter) = (note.name().letter(), note.name().alter());
            let line = (note.octave(), letter);
            let before = heard.get(&line).copied();
            let is_said = before.unwrap_or_else(|| Some(signature(letter))) == Some(alter);
            heard.insert(line, (is_said || !from_before).then_some(alter));
            (!is_said && !tied).then_some(alter)
        });
        written.accidentals = printed.collect();
    }
}

/// What a signature with so many fifths does to a letter.
fn in_signature(fifths: i32, letter: Letter) -> i8 {
    let place = Letter::BY_FIFTHS
        .iter()
        .position(|l| *l == letter)
        .unwrap_or(0);
    let place = i32::try_from(place).unwrap_or(0);
    if fifths > place {
        1
    } else if -fifths > 6 - place {
        -1
    } else {
        0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::{Name, Note};
    use crate::score::{NotesOrRest, Quarters, written};

    #[test]
    fn signatures_hold_their_letters() {
        for (fifths, notes) in [
            (0, "C4 D4 E4 F4 G4 A4 B4"),
            (-3, "C4 D4 Eb4 F4 G4 Ab4 Bb4"),
            (2, "C#4 D4 E4 F#4 G4 A4 B4"),
            (7, "C#4 D#4 E#4 F#4 G#4 A#4 B#4"),
            (-7, "Cb4 Db4 Eb4 Fb4 Gb4 Ab4 Bb4"),
        ] {
            let found = Letter::ALL.map(|letter| {
                let name = Name::new(letter, in_signature(fifths, letter)).unwrap();
                Note::new(name, 4).to_string()
            });
            assert_eq!(found.join(" "), notes);
        }
    }

    #[test]
    fn an_accidental_holds_for_its_bar_and_line() {
        let note = |name: &str| NotesOrRest {
            notes: vec![name.parse().unwrap()],
            length: Quarters::new(1, 2),
            tie: Default::default(),
        };
        let names = ["F#4", "F#4", "F4", "F#5", "F5", "Bb4"];
        let bar: Vec<NotesOrRest> = names.map(note).to_vec();
        let written = written(&bar, "3/4".parse().unwrap(), Some("F".parse().unwrap()));
        let printed: Vec<Option<i8>> = written.iter().map(|w| w.accidentals[0]).collect();
        let expected = [Some(1), None, Some(0), Some(1), Some(0), None];
        assert_eq!(printed, expected);
    }
}
