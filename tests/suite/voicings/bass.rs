//! Over a slash bass: a bare triad takes its seventh from it, and nothing added rubs against it.

use super::*;
use Colour::{Altered, Natural, Written};

/// The different layouts of a symbol in a shape, as degrees.
fn shown(symbol: &str, place: Place, shapes: &str, colour: Colour) -> Vec<String> {
    let found = voiced(symbol, place, &settings(shapes, colour, free_hand()));
    let mut shown: Vec<String> = found.voicings.iter().map(degrees).collect();
    shown.sort();
    shown.dedup();
    shown
}

/// The symbol in each key: `{suffix}/` over the bass so many semitones above the root.
fn in_every_key(suffix: &str, bass: usize) -> impl Iterator<Item = String> {
    let roots = ROOTS.into_iter().enumerate();
    roots.map(move |(at, root)| format!("{root}{suffix}/{}", ROOTS[(at + bass) % 12]))
}

#[test]
fn a_seventh_or_sixth_in_the_bass_is_the_triads_own() {
    let rows: [(&str, usize, [&str; 2]); 6] = [
        ("m", 11, ["7 9 b3 5", "b3 5 7 9"]),
        ("m", 10, ["b3 5 b7 9", "b7 9 b3 5"]),
        ("m", 9, ["6 9 b3 5", "b3 5 6 9"]),
        ("", 11, ["3 5 7 9", "7 9 3 5"]),
        ("", 10, ["3 5 b7 9", "b7 9 3 5"]),
        ("", 9, ["3 5 6 9", "6 9 3 5"]),
    ];
    for (suffix, bass, want) in rows {
        for symbol in in_every_key(suffix, bass) {
            for place in [TONIC, ELSEWHERE, INTO_MAJOR] {
                for colour in [Natural, Altered] {
                    let got = shown(&symbol, place, "rootless", colour);
                    assert_eq!(got, want, "{symbol}");
                }
            }
        }
    }
}

#[test]
fn a_line_under_one_minor_chord_moves_the_hand_with_it() {
    let notes = |symbol: &str| {
        let found = voiced(
            symbol,
            TONIC,
            &settings("rootless", Natural, Hand::default()),
        );
        found.voicings[0].to_string()
    };
    let line = ["Am/G#", "Am/G", "Am/F#"].map(notes);
    assert_eq!(line, ["C3 E3 G#3 B3", "C3 E3 G3 B3", "C3 E3 F#3 B3"]);
}

#[test]
fn as_written_a_triad_over_any_bass_stays_a_triad() {
    for bass in 1..12 {
        for symbol in in_every_key("m", bass) {
            let got = shown(&symbol, ELSEWHERE, "rootless,block", Written);
            assert_eq!(got, ["1 b3 5", "5 1 b3", "b3 5 1"], "{symbol}");
        }
    }
}

#[test]
fn what_would_rub_against_the_bass_gives_way() {
    let natural = |symbol, place| shown(symbol, place, "rootless,block", Natural);
    // The 9 over a bass a half step under it makes room for the root.
    assert_eq!(natural("C/Db", ELSEWHERE), ["3 5 6 1", "6 1 3 5"]);
    assert_eq!(natural("Fm7/Gb", ELSEWHERE), ["b3 5 b7 1", "b7 1 b3 5"]);
    // At rest the 6 of a minor triad is spared beside its b6, and the b7 taken.
    assert_eq!(natural("Am/F", TONIC), ["b3 5 b7 9", "b7 9 b3 5"]);
    // No sixth beside a bass a half step under it: the triad stays one.
    assert_eq!(natural("C/Ab", ELSEWHERE), ["1 3 5", "3 5 1", "5 1 3"]);
    // b13 against the 5 in the bass.
    assert_eq!(natural("C7/G", INTO_MINOR), ["3 5 b7 b9", "b7 b9 3 5"]);
    // A flat ninth over the root in the bass is a colour, and what is written stays.
    assert!(natural("C7/C", INTO_MINOR).contains(&"3 b13 b7 b9".to_owned()));
    assert!(natural("C7b9/D", ELSEWHERE).contains(&"3 5 b7 b9".to_owned()));
}

#[test]
fn no_added_note_lies_a_half_step_from_the_bass() {
    for suffix in [
        "", "m", "m7", "maj7", "7", "m7b5", "dim7", "7sus", "6", "7b9",
    ] {
        for (bass, colour) in (1..12).flat_map(|b| Colour::ALL.map(|c| (b, c))) {
            for place in [INTO_MAJOR, INTO_MINOR, HALF_DOWN, TONIC] {
                let symbol = format!("Eb{suffix}/{}", ROOTS[(3 + bass) % 12]);
                let asked = chord(&symbol);
                let settings = Settings {
                    colour,
                    ..Settings::default()
                };
                for voicing in voiced(&symbol, place, &settings).voicings {
                    let rubs = |note: &i32| {
                        let above = (note - 3).rem_euclid(12);
                        let written = asked
                            .tones()
                            .iter()
                            .any(|tone| i32::from(tone.degree.class()) == above);
                        let gap = (above - i32::try_from(bass).unwrap()).rem_euclid(12);
                        !written && (gap == 1 || gap == 11)
                    };
                    assert!(!midi(&voicing).iter().any(rubs), "{symbol} {voicing}");
                }
            }
        }
    }
}

#[test]
fn given_notes_that_rub_are_told_so() {
    let chord = chord("Dm/C#");
    let judged = |notes: &[(&str, &str)]| -> Vec<String> {
        let read = |(note, degree): &(&str, &str)| compline::hand::Sounding::read(note, degree);
        let notes: Vec<_> = notes.iter().filter_map(read).collect();
        let breaches = Hand::default().judge(&chord, &notes, &[]);
        breaches.iter().map(ToString::to_string).collect()
    };
    let seventh = judged(&[("F3", "b3"), ("A3", "5"), ("C4", "b7"), ("E4", "9")]);
    assert_eq!(seventh, ["the added b7 lies a half step from the bass, C#"]);
    let major = judged(&[("F3", "b3"), ("A3", "5"), ("C#4", "7"), ("E4", "9")]);
    assert_eq!(major, [""; 0]);
}
