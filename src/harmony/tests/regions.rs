//! Where a tune modulates and where it only leans.

use super::{TONICS, chords, everywhere, key};
use crate::chord::Chord;
use crate::harmony::regions;
use crate::pitch::{Interval, Key};

fn row(chords: &[Chord], key: Option<Key>) -> Vec<Option<Key>> {
    let slots: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
    regions(&slots, key, false)
}

/// The runs of regions, as "C 4, Eb 6": a key and how many chords stand in it.
fn runs(regions: &[Option<Key>]) -> String {
    let runs = regions.chunk_by(|a, b| a == b);
    let shown = runs.map(|run| format!("{} {}", run[0].unwrap(), run.len()));
    shown.collect::<Vec<_>>().join(", ")
}

/// Asserts the runs in C, and that every other key has the same ones in its own place; with the key
/// at the head of the chart and without.
fn modulates(symbols: &str, home: &str, expected: &str) {
    for (given, told) in [(true, "with its key"), (false, "without a key")] {
        let all = everywhere(symbols, home);
        let first = row(&all[0].0, all[0].1.filter(|_| given));
        assert_eq!(runs(&first), expected, "{symbols} {told}");
        for ((chords, key), tonic) in all.iter().zip(TONICS) {
            let up = Interval::between("C".parse().unwrap(), tonic.parse().unwrap());
            let found = row(chords, key.filter(|_| given));
            for (there, here) in found.iter().zip(&first) {
                let (there, here) = (there.unwrap(), here.unwrap());
                let class = here.tonic().class().plus(up.semitones());
                assert_eq!(
                    (there.tonic().class(), there.mode()),
                    (class, here.mode()),
                    "{tonic}"
                );
            }
        }
    }
}

#[test]
fn leaning_on_a_degree_is_no_modulation() {
    modulates("Cmaj7 Am7 Dm7 G7 Cmaj7", "C", "C 5");
    for lean in [
        "Em7b5 A7 Dm7",
        "F#m7b5 B7 Em7",
        "Gm7 C7 Fmaj7",
        "Am7 D7 G7",
        "Bm7b5 E7 Am7",
    ] {
        let symbols = format!("Cmaj7 Dm7 G7 Cmaj7 {lean} Dm7 G7 Cmaj7");
        modulates(&symbols, "C", "C 10");
    }
}

#[test]
fn a_bridge_with_cadences_of_its_own_modulates() {
    modulates(
        "Cmaj7 Am7 Dm7 G7 Cmaj7 Fm7 Bb7 Ebmaj7 Cm7 Fm7 Bb7 Ebmaj7 Dm7 G7 Cmaj7 Dm7 G7 C6",
        "C",
        "C 5, Eb 7, C 6",
    );
    modulates(
        "Cmaj7 Dm7 G7 C6 F#m7 B7 Emaj7 F#m7 B7 Emaj7 Dm7 G7 Cmaj7 Dm7 G7 C6",
        "C",
        "C 4, E 6, C 6",
    );
}

#[test]
fn minor_and_its_relative_are_told_apart() {
    modulates("Cm6 Dm7b5 G7 Cm6 Fm7 Dm7b5 G7 Cm6", "Cm", "Cm 8");
    modulates(
        "Cm6 Dm7b5 G7 Cm6 Fm7 Bb7 Ebmaj7 Ab6 Fm7 Bb7 Ebmaj7 Fm7 Bb7 Ebmaj7 Dm7b5 G7 Cm6 Dm7b5 G7 Cm6",
        "Cm",
        "Cm 4, Eb 10, Cm 6",
    );
}

#[test]
fn a_blues_is_in_the_key_of_its_first_chord() {
    modulates("C7 F7 C7 C7 F7 F7 C7 A7 Dm7 G7 C7 G7", "C", "C 12");
    modulates("C7 F7 C7 C7 F7 F7 C7 C7 G7 F7 C7 C7", "C", "C 12");
}

#[test]
fn one_chord_has_no_key_unless_the_chart_says() {
    for symbol in ["Dm7", "Cmaj7", "Dm"] {
        let one = chords(symbol);
        assert_eq!(row(&one, None), [None]);
        assert_eq!(row(&one, key("F")), [key("F")]);
    }
    assert_eq!(row(&chords("G7 Cmaj7"), None), [key("C"), key("C")]);
    assert_eq!(regions(&[], key("C"), false), []);
    assert_eq!(regions(&[None, None], None, false), [None, None]);
}

#[test]
fn at_equal_cost_the_earlier_region_goes_on() {
    for (symbols, expected) in [
        ("G/F G E G F E G", "G 2, Am 4, G 1"),
        ("Dbmaj7 Cm7 Bbm7 Cm7 Db/Ab Ab Db/Ab", "Db 1, Ab 4, Db 2"),
    ] {
        assert_eq!(runs(&row(&chords(symbols), None)), expected);
    }
}

#[test]
fn silence_belongs_to_the_region_before_it() {
    let all = chords("Dm7 G7 Cmaj7 Fm7 Bb7 Ebmaj7 Fm7 Bb7 Ebmaj7");
    let mut slots: Vec<Option<&Chord>> = all.iter().map(Some).collect();
    slots.insert(3, None);
    slots.insert(0, None);
    assert_eq!(runs(&regions(&slots, None, false)), "C 5, Eb 6");
}

#[test]
fn names_follow_the_chords() {
    let sharp = row(&chords("G#m7 C#7 F#maj7"), None);
    let flat = row(&chords("Abm7 Db7 Gbmaj7"), None);
    assert_eq!((runs(&sharp), runs(&flat)), ("F# 3".into(), "Gb 3".into()));
}
