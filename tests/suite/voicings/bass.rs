//! Over a slash bass: a bare triad stays one, and nothing added rubs against it.

use super::*;
use Colour::{Natural, Written};

/// The different layouts of a symbol in a shape, as degrees.
fn shown(symbol: &str, context: HarmonicContext, shapes: &str, colour: Colour) -> Vec<String> {
    let found = voiced(symbol, context, &settings(shapes, colour, free_hand()));
    usual(&found)
}

/// The symbol in each key: `{suffix}/` over the bass so many semitones above the root.
fn in_every_key(suffix: &str, bass: usize) -> impl Iterator<Item = String> {
    let roots = ROOTS.into_iter().enumerate();
    roots.map(move |(at, root)| format!("{root}{suffix}/{}", ROOTS[(at + bass) % 12]))
}

#[test]
fn a_triad_over_a_bass_that_is_not_its_root_stays_one_in_every_key() {
    let rows: [(&str, [&str; 3]); 4] = [
        ("", ["1 3 5", "3 5 1", "5 1 3"]),
        ("m", ["1 b3 5", "5 1 b3", "b3 5 1"]),
        ("+", ["#5 1 3", "1 3 #5", "3 #5 1"]),
        ("sus", ["1 4 5", "4 5 1", "5 1 4"]),
    ];
    for (bass, (suffix, want)) in (1..12).flat_map(|bass| rows.map(|row| (bass, row))) {
        for symbol in in_every_key(suffix, bass) {
            for context in [TONIC, ELSEWHERE, INTO_MAJOR, INTO_MINOR] {
                for colour in Colour::ALL {
                    let palette = "rootless,three-note,guide-tones,block";
                    let settings = settings(palette, colour, free_hand());
                    let found = voiced(&symbol, context, &settings);
                    assert_eq!(usual(&found), want, "{symbol}");
                    // It has no thicker shape to be thinned out from.
                    assert!(found.shape.name == "block" && !found.thinned, "{symbol}");
                }
            }
        }
    }
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
    let natural = |symbol, context| shown(symbol, context, "rootless,block", Natural);
    // The 9 over a bass a half step under it makes room for the root.
    assert_eq!(natural("Fm7/Gb", ELSEWHERE), ["b3 5 b7 1", "b7 1 b3 5"]);
    // A b9 against the 9 in the bass makes room for the root.
    let over_ninth = natural("C7/D", INTO_MINOR);
    assert!(
        over_ninth.contains(&"3 5 b7 1".to_owned()),
        "{over_ninth:?}"
    );
    assert!(over_ninth.iter().all(|notes| !notes.contains("b9")));
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
            for context in [INTO_MAJOR, INTO_MINOR, HALF_DOWN, TONIC] {
                let symbol = format!("Eb{suffix}/{}", ROOTS[(3 + bass) % 12]);
                let asked = chord(&symbol);
                let settings = VoicingSettings {
                    colour,
                    ..VoicingSettings::default()
                };
                for voicing in voiced(&symbol, context, &settings).voicings {
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
    let chord = chord("Dm7/C#");
    let judged = |notes: &[(&str, &str)]| -> Vec<String> {
        let read = |(note, degree): &(&str, &str)| compline::hand::SoundingNote::read(note, degree);
        let notes: Vec<_> = notes.iter().filter_map(read).collect();
        let breaches = Hand::default().judge(&chord, &notes, Sung::for_long(&[]));
        breaches.iter().map(ToString::to_string).collect()
    };
    let rubbing = judged(&[("F3", "b3"), ("A3", "5"), ("C4", "b7"), ("D4", "1")]);
    assert_eq!(rubbing, [""; 0], "the root is the symbol's own");
    let added = judged(&[("F3", "b3"), ("A3", "5"), ("B3", "6"), ("C4", "b7")]);
    assert_eq!(added.len(), 1, "{added:?}");
    let chord = Chord::read("Fm7/Gb").unwrap();
    let notes = [("Ab3", "b3"), ("C4", "5"), ("Eb4", "b7"), ("G4", "9")]
        .map(|(note, degree)| compline::hand::SoundingNote::read(note, degree).unwrap());
    let told: Vec<String> = Hand::default()
        .judge(&chord, &notes, Sung::for_long(&[]))
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(told, ["the added 9 lies a half step from the bass, Gb"]);
}
