//! Each rule at its edge: the last voicing it lets pass and the first it refuses.

use super::*;

/// What the hand says to `notes` ("E3=3 A3=13") over `symbol` under these melody notes.
fn told(hand: &Hand, symbol: &str, notes: &str, melody: &[&str]) -> Vec<String> {
    let chord = Chord::read(symbol).unwrap();
    let notes: Vec<SoundingNote> = notes
        .split(' ')
        .map(|word| word.split_once('=').unwrap())
        .map(|(note, degree)| SoundingNote::read(note, degree).unwrap())
        .collect();
    let melody: Vec<Pitch> = melody.iter().map(|note| key(note).unwrap()).collect();
    let violations = hand.judge(&chord, &notes, Sung::for_long(&melody));
    violations.iter().map(ToString::to_string).collect()
}

fn plain(symbol: &str, notes: &str) -> Vec<String> {
    told(&Hand::default(), symbol, notes, &[])
}

const NOTHING: [&str; 0] = [];

#[test]
fn range_ends_are_playable() {
    assert_eq!(plain("Cm7", "Eb4=b3 G4=5 Bb3=b7"), NOTHING);
    assert_eq!(plain("Fmaj7", "A4=3 E4=7"), NOTHING);
    assert_eq!(
        plain("F#maj7", "A#4=3 E#4=7"),
        ["Bb4 lies over the range, A4"]
    );
    assert_eq!(plain("Ab6", "C3=3 F3=6"), NOTHING);
    assert_eq!(plain("G6", "B2=3 E3=6"), ["B2 lies under the range, C3"]);
}

#[test]
fn the_reach_is_the_last_span_that_passes() {
    assert_eq!(plain("Ebm7", "Eb3=1 Db4=b7 F4=9 Gb3=b3"), NOTHING);
    assert_eq!(
        plain("Ebm7", "Eb3=1 Db4=b7 Gb4=b3"),
        ["the hand would have to open 15 semitones"]
    );
}

#[test]
fn every_pair_is_held_against_the_limits() {
    // Minor second on E3 against Eb3, inside a larger voicing.
    assert_eq!(
        plain("C#m9", "D#3=9 E3=b3 G#3=5 B3=b7"),
        ["m2 on Eb3 is muddy: not below E3"]
    );
    assert_eq!(plain("Dm9", "E3=9 F3=b3 A3=5 C4=b7"), NOTHING);
    let series = Hand {
        limits: series(),
        ..Hand::default()
    };
    assert_eq!(told(&series, "Dm9", "E3=9 F3=b3 A3=5 C4=b7", &[]).len(), 1);
}

#[test]
fn a_bass_counts_only_where_its_octave_is_given() {
    let counted = |octave| Hand {
        bass: Some(octave),
        ..Hand::default()
    };
    let notes = "F3=3 B3=#11 Eb4=b7";
    assert_eq!(told(&counted(2), "Db7#11", notes, &[]), NOTHING);
    assert_eq!(told(&counted(3), "Db7#11", notes, &[]), NOTHING);
    let said = told(&counted(2), "Am7", "C3=b3 G3=b7", &[]);
    assert_eq!(said, ["m3 over the bass on A2 is muddy: not below C3"]);
}

#[test]
fn third_and_seventh_sound_or_what_stands_for_them() {
    assert_eq!(plain("C7", "E3=3 Bb3=b7"), NOTHING);
    assert_eq!(plain("C7", "E3=3 G3=5"), ["the b7 is silent"]);
    assert_eq!(plain("C6", "E3=3 A3=6"), NOTHING);
    assert_eq!(plain("C6", "E3=3 G3=5"), ["the 6 is silent"]);
    assert_eq!(plain("C7sus", "F3=4 Bb3=b7"), NOTHING);
    assert_eq!(plain("C7sus", "G3=5 Bb3=b7"), ["the 4 is silent"]);
    assert_eq!(plain("C", "E3=3 G3=5"), NOTHING);
    assert_eq!(plain("Caug", "E3=3 C4=1")[0], "the #5 is silent");
    assert_eq!(plain("C5", "C3=1 G3=5"), NOTHING);
    assert_eq!(plain("C5", "G3=5"), ["the 1 is silent"]);
}

#[test]
fn one_tone_of_a_diminished_chord_may_rise_a_whole_step() {
    assert_eq!(plain("Cdim7", "Eb3=b3 Gb3=b5 A3=bb7"), NOTHING);
    assert_eq!(plain("Cdim7", "Eb3=b3 Ab3=b13 A3=bb7 C4=1"), NOTHING);
    assert_eq!(
        plain("Cdim7", "F3=11 Gb3=b5 A3=bb7 C4=1"),
        ["the b3 is silent"]
    );
    assert_eq!(plain("Cdim7", "Eb3=b3 A3=bb7"), ["the b5 is silent"]);
}

#[test]
fn nothing_added_stands_for_a_diminished_chords_root_or_third() {
    let without_root = plain("Cdim7", "Eb3=b3 Gb3=b5 A3=bb7 D4=9");
    assert_eq!(without_root, ["9 stands where the root should"]);
    assert_eq!(plain("Cdim7(9)", "Eb3=b3 Gb3=b5 A3=bb7 D4=9"), NOTHING);
    // The almanac's C# E G A and C# E C.
    assert_eq!(plain("C#dim7", "C#3=1 E3=b3 G3=b5 A3=b13"), NOTHING);
    assert_eq!(plain("C#dim7", "C#3=1 E3=b3 C4=7"), NOTHING);
    assert_eq!(plain("C#dim7", "C#3=1 G3=b5 Bb3=bb7"), ["the b3 is silent"]);
    // Without the root the b13 is none of these voicings.
    assert_eq!(
        plain("C#dim7", "E3=b3 G3=b5 A3=b13"),
        ["the bb7 is silent", "b13 stands where the root should"]
    );
}

#[test]
fn a_triad_over_a_foreign_bass_keeps_its_three_tones() {
    assert_eq!(plain("F/G", "A3=3 C4=5 F4=1"), NOTHING);
    assert_eq!(plain("F/G", "A3=3 C4=5 D4=6 F4=1"), NOTHING);
    assert_eq!(plain("F/G", "D3=6 G3=9 A3=3 C4=5"), ["the 1 is silent"]);
    assert_eq!(plain("D/A", "F#3=3 A3=5"), ["the 1 is silent"]);
    assert_eq!(plain("F/F", "A3=3 C4=5"), NOTHING);
}

#[test]
fn a_shell_of_two_is_the_root_with_a_tone_of_the_frame() {
    assert_eq!(plain("C7", "C3=1 Bb3=b7"), NOTHING);
    assert_eq!(plain("C7", "C3=1 E3=3"), NOTHING);
    assert_eq!(plain("C6", "C3=1 A3=6"), NOTHING);
    assert_eq!(plain("C7", "E3=3 C4=1"), ["the b7 is silent"]);
    assert_eq!(plain("C9", "C3=1 Bb3=b7").len(), 1);
}

#[test]
fn a_named_tone_may_go_where_the_melody_lies_a_half_step_above_it() {
    let hand = Hand::default();
    let notes = "G3=b7 A3=1 C4=b3 E4=5";
    assert_eq!(told(&hand, "Am9", notes, &["C5"]), NOTHING);
    assert_eq!(told(&hand, "Am9", notes, &["D5"]).len(), 1);
}

#[test]
fn no_half_step_lies_on_top_and_no_sharp_ninth_below_the_third() {
    let told = plain("Fmaj7", "A3=3 C4=5 E4=7 F4=1");
    assert_eq!(told, ["a half step on top, 7 under 1"]);
    assert_eq!(plain("Fmaj7", "E3=7 G3=9 A3=3 C4=5"), NOTHING);
    let told = plain("B7#9", "A3=b7 D4=#9 Eb4=3 Gb4=5");
    assert_eq!(told, ["the #9 below the third with no b13 on top"]);
    assert_eq!(plain("B7#9", "D#3=3 F#3=5 A3=b7 D4=#9"), NOTHING);
    // As it is printed for the altered chord, with its b13.
    assert_eq!(plain("A7alt", "G3=b7 C4=#9 C#4=3 F4=b13"), NOTHING);
}

#[test]
fn what_is_named_sounds_before_what_is_implied() {
    assert_eq!(plain("C9", "E3=3 Bb3=b7"), NOTHING);
    assert_eq!(plain("C9", "E3=3 Bb3=b7 D4=9"), NOTHING);
    assert_eq!(
        plain("C9", "E3=3 G3=5 Bb3=b7"),
        ["the symbol names 9, which is silent while 5 sounds"]
    );
    assert_eq!(
        plain("C13", "E3=3 Bb3=b7 D4=9").len(),
        1,
        "the 9 of C13 is implied"
    );
    assert_eq!(plain("G7alt", "B3=3 Eb4=b13 F4=b7"), NOTHING);
    assert_eq!(plain("G7alt", "G3=1 B3=3 F4=b7").len(), 1);
}

#[test]
fn clashes_are_refused_unless_the_symbol_asks_for_them() {
    assert_eq!(
        plain("C7", "E3=3 F3=11 Bb3=b7"),
        ["a natural 11 over the major third"]
    );
    assert_eq!(plain("Cmaj7(11)", "E3=3 F3=11 B3=7"), NOTHING);
    assert_eq!(plain("C7b13", "E3=3 G3=5 Ab3=b13 Bb3=b7"), ["5 beside b13"]);
    assert_eq!(plain("C7b9", "Db3=b9 E3=3 Bb3=b7 D4=9"), ["9 beside b9"]);
    assert_eq!(plain("C7b9#9", "E3=3 Bb3=b7 Db4=b9 D#4=#9"), NOTHING);
    assert_eq!(
        plain("Cm9", "Bb3=b7 D4=9 Eb4=b3 G4=5"),
        NOTHING,
        "b3 is no #9"
    );
}

#[test]
fn a_minor_ninth_is_only_the_dominants() {
    assert_eq!(plain("C7b9", "C3=1 Bb3=b7 Db4=b9 E3=3"), NOTHING);
    assert_eq!(plain("Cmaj7", "B3=7 E3=3 G3=5"), NOTHING);
    let wide = Hand {
        range: "C3-C6".parse().unwrap(),
        ..Hand::default()
    };
    let low_third = told(&wide, "Fm9", "G3=9 Ab4=b3 Eb4=b7", &[]);
    assert_eq!(low_third, ["a minor ninth between 9 and b3"]);
    assert_eq!(told(&wide, "Fm9", "Ab3=b3 G4=9 Eb4=b7", &[]), NOTHING);
    let huge = Hand {
        reach: Reach::Semitones(Reach::MOST),
        limits: LimitTable::none(),
        ..wide
    };
    let huge = Hand {
        range: "C2-C6".parse().unwrap(),
        reach: Reach::Semitones(30),
        ..huge
    };
    assert_eq!(
        told(&huge, "Fm9", "G2=9 Eb3=b7 Ab4=b3", &[]).len(),
        1,
        "an octave wider"
    );
}

#[test]
fn the_melody_is_neither_covered_nor_rubbed() {
    let hand = Hand::default();
    let under = |melody: &[&str]| told(&hand, "C7", "E3=3 A3=13 Bb3=b7 D4=9", melody);
    assert_eq!(under(&["D4"]), NOTHING, "the same key is shared");
    assert_eq!(
        under(&["C#4"])[0],
        "the 9, D4, would sound above the melody's C#4"
    );
    assert_eq!(
        under(&["Eb4"]),
        ["the 9, D4, lies a minor second below the melody's Eb4"]
    );
    assert_eq!(
        under(&["B4"]),
        ["the b7, Bb3, lies a minor ninth below the melody's B4"]
    );
    assert_eq!(
        under(&["E4", "Eb5"]),
        ["the 9, D4, lies a minor ninth below the melody's Eb5"]
    );
}

#[test]
fn every_setting_that_refuses_says_what_would_let_pass() {
    let loosened = |violation: Violation| violation.loosening().map(|l| l.to_string());
    let at = |text| key(text).unwrap();
    let muddy = Violation::Muddy {
        lower: at("D3"),
        interval: 1,
        floor: at("E3"),
        bass: false,
    };
    assert_eq!(loosened(muddy).unwrap(), "limits: allow m2 from D3");
    let low = Violation::BelowRange {
        note: at("B2"),
        low: at("C3"),
    };
    assert_eq!(loosened(low).unwrap(), "--low B2");
    assert_eq!(loosened(Violation::Silent("b7".parse().unwrap())), None);
}
