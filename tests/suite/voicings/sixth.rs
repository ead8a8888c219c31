//! The 6 for the major seventh, which a tune on the root leaves no room.

use compline::voicing::read_given;

use super::*;
use Colour::{Altered, Natural, Written};

/// The different layouts offered, as degrees, under a tune note so many semitones above the lowest C.
fn offered(symbol: &str, palette: &str, colour: Colour, tune: i32) -> Result<Vec<String>, String> {
    let chord = chord(symbol);
    let melody = [Pitch::try_from(tune).unwrap()];
    let ask = Ask {
        chord: &chord,
        context: ELSEWHERE,
        melody: &held(melody.to_vec()),
    };
    let hand = Hand {
        range: "C3-G4".parse().unwrap(),
        ..Hand::default()
    };
    let found = candidates(&ask, &settings(palette, colour, hand)).map_err(|n| n.to_string())?;
    Ok(usual(&found))
}

/// The root in the octave above middle C's.
fn root(semitones: usize) -> i32 {
    72 + i32::try_from(semitones).unwrap()
}

const DEFAULT: &str = "rootless,three-note,guide-tones,block";

#[test]
fn every_major_seventh_chord_has_a_voicing_under_its_root_in_every_key_and_colour() {
    for suffix in ["maj7", "maj9", "maj13", "maj7#11", "mMaj7", "mMaj9"] {
        for (at, name) in ROOTS.into_iter().enumerate() {
            for colour in Colour::ALL {
                let symbol = format!("{name}{suffix}");
                let shown = offered(&symbol, DEFAULT, colour, root(at)).unwrap();
                let sixth = |v: &String| v.split(' ').any(|d| d == "6");
                let seventh = |v: &String| v.split(' ').any(|d| d == "7");
                assert!(shown.iter().all(|v| sixth(v) != seventh(v)), "{shown:?}");
            }
        }
    }
}

#[test]
fn each_shape_has_its_sixth() {
    let under_root = |symbol, palette| offered(symbol, palette, Natural, root(0)).unwrap();
    assert_eq!(under_root("Cmaj7", "rootless"), ["3 5 6 9", "6 9 3 5"]);
    assert_eq!(under_root("Cmaj9", "rootless"), ["3 5 6 9", "6 9 3 5"]);
    assert_eq!(under_root("Cmaj13", "rootless"), ["3 5 6 9", "6 9 3 5"]);
    assert_eq!(
        under_root("Cmaj7#11", "rootless"),
        ["3 #11 6 9", "6 9 3 #11"]
    );
    assert_eq!(under_root("CmMaj7", "rootless"), ["6 9 b3 5", "b3 5 6 9"]);
    let three = ["3 5 6", "3 6 9", "5 6 3", "6 3 5"];
    assert_eq!(under_root("Cmaj7", "three-note"), three);
    assert_eq!(under_root("Cmaj7", "guide-tones"), ["3 6", "6 3"]);
    assert_eq!(under_root("Cmaj7", "shell"), ["1 3 6"]);
    assert!(under_root("Cmaj7", "block").contains(&"3 5 6 1".to_owned()));
}

#[test]
fn any_other_tune_note_and_any_other_chord_keep_their_seventh() {
    for (at, name) in ROOTS.into_iter().enumerate() {
        for above in 1..12 {
            let tune = root(at) + above;
            let shown = offered(&format!("{name}maj7"), DEFAULT, Altered, tune);
            for voicing in shown.unwrap_or_default() {
                assert!(voicing.split(' ').any(|d| d == "7"), "{voicing}");
            }
        }
        for suffix in ["7", "m7", "m7b5", "7sus", "maj7#5", "dim(maj7)"] {
            let shown = offered(&format!("{name}{suffix}"), DEFAULT, Natural, root(at));
            for voicing in shown.unwrap_or_default() {
                assert!(voicing.split(' ').all(|d| d != "6"), "{suffix}: {voicing}");
            }
        }
    }
}

#[test]
fn where_the_seventh_has_room_both_are_offered_except_as_written() {
    // Two octaves up nothing rubs.
    let high = |colour| offered("Cmaj7", "rootless", colour, 84).unwrap();
    assert_eq!(high(Natural), ["3 5 6 9", "3 5 7 9", "6 9 3 5", "7 9 3 5"]);
    // As written form A would have a half step on top.
    assert_eq!(high(Written), ["7 1 3 5"]);
    let near = offered("Cmaj7", "rootless", Written, 72).unwrap();
    assert_eq!(near, ["3 5 6 1", "6 1 3 5"]);
}

#[test]
fn a_given_sixth_is_recognised_and_judged_by_the_tune() {
    let chord = chord("Cmaj7");
    let notes: Vec<_> = ["E3", "G3", "A3", "D4"]
        .map(|n| n.parse().unwrap())
        .to_vec();
    let voicing = read_given(&chord, &notes).unwrap();
    assert_eq!(
        (voicing.shape_name(), degrees(&voicing)),
        ("rootless", "3 5 6 9".to_owned())
    );
    let sounding: Vec<_> = voicing
        .notes
        .iter()
        .map(|n| compline::hand::SoundingNote {
            pitch: n.pitch,
            degree: n.degree,
        })
        .collect();
    let judged = |tune: &[u8]| -> Vec<String> {
        let melody: Vec<Pitch> = tune.iter().filter_map(|n| Pitch::new(*n)).collect();
        let breaches = Hand::default().judge(&chord, &sounding, Sung::for_long(&melody));
        breaches.iter().map(ToString::to_string).collect()
    };
    assert_eq!(judged(&[72]), [""; 0]);
    assert_eq!(judged(&[76]), ["the 7 is silent"]);
}
