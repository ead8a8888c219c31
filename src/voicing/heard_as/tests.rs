//! The identities of the books in all keys, the order, and what holds of any notes.

use proptest::prelude::*;

use super::*;
use crate::pitch::{Note, Semitones};
use crate::voicing::read_given;

/// The twelve roots as charts write them.
const ROOTS: [&str; 12] = [
    "C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B",
];

/// These degrees of the chord upward in close position, the lowest from C3 on.
fn laid(chord: &Chord, degrees: &str) -> Voicing {
    let mut from = Pitch::new(48).unwrap();
    let notes: Vec<Note> = degrees
        .split(' ')
        .map(|degree| {
            let name = chord.spell(degree.parse().unwrap());
            let pitch = from.next_of(name.class()).unwrap();
            from = pitch;
            Note::spelled(pitch, name).unwrap()
        })
        .collect();
    read_given(chord, &notes).unwrap()
}

fn heard(symbol: &str, degrees: &str) -> Vec<HeardAs> {
    let chord = Chord::read(symbol).unwrap();
    heard_as(&chord, &laid(&chord, degrees), None)
}

fn symbols(heard: &[HeardAs]) -> Vec<String> {
    heard.iter().map(HeardAs::to_string).collect()
}

/// What is the same pitch classes under two names, on every root: kind, degrees that sound, how far up
/// the other root lies, its kind, and how much of it sounds.
const IDENTITIES: [(&str, &str, i32, &str, Completeness); 8] = [
    // Dm9 without its root is Fmaj7
    ("m9", "b3 5 b7 9", 3, "maj7", Completeness::Whole),
    // Cmaj9 without its root is Em7
    ("maj9", "3 5 7 9", 4, "m7", Completeness::Whole),
    // G9 without its root is Bm7b5
    ("9", "3 5 b7 9", 4, "m7b5", Completeness::Whole),
    // G7b9 without its root is Bdim7
    ("7b9", "3 5 b7 b9", 4, "dim7", Completeness::Whole),
    // C13sus without its root is Bbmaj7
    ("13sus", "b7 9 4 13", 10, "maj7", Completeness::Whole),
    // Cm6/9 without its root is F13 without its root
    ("m6/9", "b3 5 6 9", 5, "13", Completeness::Rootless),
    // Cm7b5 is Ebm6
    ("m7b5", "1 b3 b5 b7", 3, "m6", Completeness::Whole),
    // G7alt without its root is Db13 without its root: the tritone substitute
    ("7alt", "3 b13 b7 #9", 6, "13", Completeness::Rootless),
];

#[test]
fn the_identities_hold_on_all_twelve_roots() {
    for root in ROOTS {
        for (kind, degrees, up, other, how) in IDENTITIES {
            let symbol = format!("{root}{kind}");
            let class = root.parse::<Name>().unwrap().class();
            let other_root = class.plus(Semitones(up));
            let found = heard(&symbol, degrees);
            let same: Vec<_> = found
                .iter()
                .filter(|h| {
                    h.root.class() == other_root && h.symbol == format!("{}{other}", h.root)
                })
                .collect();
            assert_eq!(same.len(), 1, "{symbol}: {:?}", symbols(&found));
            assert_eq!(same[0].how, how, "{symbol}");
            if how == Completeness::Whole {
                assert_eq!(found[0], *same[0], "{symbol}: first");
            }
        }
    }
}

#[test]
fn roots_are_spelled_as_the_key_has_them() {
    let in_key = |symbol: &str, degrees: &str, key: &str| {
        let chord = Chord::read(symbol).unwrap();
        symbols(&heard_as(
            &chord,
            &laid(&chord, degrees),
            Some(key.parse().unwrap()),
        ))
    };
    assert_eq!(
        in_key("G7alt", "3 b13 b7 #9", "C"),
        ["Bmaj7#11", "Abm6/9", "Db13"]
    );
    assert_eq!(in_key("Ebm9", "b3 5 b7 9", "Db")[0], "Gbmaj7");
    assert_eq!(in_key("D#m9", "b3 5 b7 9", "B")[0], "F#maj7");
    assert_eq!(in_key("Abm9", "b3 5 b7 9", "Gb")[0], "Cbmaj7");
    assert_eq!(in_key("F7b9", "3 5 b7 b9", "Bb")[..2], ["Adim7", "Cdim7"]);
    assert_eq!(in_key("B7", "3 b7", "E")[0], "F7");
}

#[test]
fn the_order_is_the_documented_one() {
    // The lowest note as root first: the same keys over another lowest note turn round.
    assert_eq!(symbols(&heard("Cmaj9", "3 5 7 9"))[..2], ["Em7", "G6"]);
    assert_eq!(symbols(&heard("Cmaj9", "5 7 9 3"))[..2], ["G6", "Em7"]);
    // Neither lowest: the more everyday kind.
    assert_eq!(symbols(&heard("Cmaj9", "7 9 3 5"))[..2], ["Em7", "G6"]);
    // All tones, then the root, then neither.
    let how = |found: &[HeardAs]| found.iter().map(|h| h.how).collect::<Vec<_>>();
    let found = heard("Dm9", "b3 5 b7 9");
    assert_eq!(symbols(&found), ["Fmaj7", "G13sus"]);
    assert_eq!(how(&found), [Completeness::Whole, Completeness::Rootless]);
}

#[test]
fn a_dominants_tritone_belongs_to_two_dominants() {
    let found = heard("G7", "3 b7");
    assert!(symbols(&found).contains(&"Db7".to_owned()), "{found:?}");
}

#[test]
fn a_chord_is_not_taken_for_itself_nor_one_note_for_anything() {
    assert_eq!(symbols(&heard("C", "3")), Vec::<String>::new());
    assert_eq!(symbols(&heard("Caug", "1 3 #5"))[..2], ["Eaug", "Abaug"]);
    for found in heard("C7", "1 3 5 b7") {
        assert_ne!(found.root.class().number(), 0);
    }
}

fn keys() -> impl Strategy<Value = Vec<Pitch>> {
    prop::collection::btree_set(48u8..72, 1..6)
        .prop_map(|keys| keys.into_iter().filter_map(Pitch::new).collect())
}

proptest! {
    /// The reading's symbol, read by the chord reader, has every note among its tones.
    #[test]
    fn a_readings_tones_cover_the_notes(pitches in keys()) {
        for reading in readings(&pitches) {
            let root = ROOTS[usize::from(reading.root.number())];
            let chord = Chord::read(&format!("{root}{}", reading.kind.suffix)).unwrap();
            prop_assert_eq!(reading.degrees.len(), pitches.len());
            for (pitch, degree) in pitches.iter().zip(&reading.degrees) {
                prop_assert_eq!(chord.spell(*degree).class(), pitch.class());
                prop_assert!(chord.tones().iter().any(|tone| tone.degree == *degree), "{} {}", chord, degree);
            }
            let rooted = pitches.iter().any(|pitch| pitch.class() == reading.root);
            prop_assert_eq!(rooted, reading.how != Completeness::Rootless);
        }
    }

    #[test]
    fn moved_notes_are_taken_for_moved_chords(pitches in keys(), by in -12i32..=12) {
        let moved: Vec<Pitch> = pitches.iter().filter_map(|pitch| pitch.plus(Semitones(by))).collect();
        let there: Vec<_> = readings(&moved);
        let here: Vec<_> = readings(&pitches);
        prop_assert_eq!(here.len(), there.len());
        for (here, there) in here.iter().zip(&there) {
            prop_assert_eq!(here.root.plus(Semitones(by)), there.root);
            prop_assert_eq!((here.kind, here.how, &here.degrees), (there.kind, there.how, &there.degrees));
        }
    }

    #[test]
    fn no_chord_is_listed_twice_and_whole_ones_come_first(pitches in keys()) {
        let found = readings(&pitches);
        prop_assert!(found.is_sorted_by_key(|reading| reading.how));
        for (at, one) in found.iter().enumerate() {
            prop_assert!(!found[at + 1..].contains(one));
        }
    }
}
