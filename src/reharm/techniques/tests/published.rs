//! The progressions that texts print, before and after.

use super::stage::{Stage, TONICS, bars, made};
use crate::reharm::Proposal;
use crate::reharm::techniques::TECHNIQUES;

/// That a technique makes `after` of `before`, in C and in all other major keys.
fn becomes(technique: &str, before: &str, after: &str) {
    becomes_each(technique, before, &[after]);
}

/// That a technique makes each of these of the one passage, in every key.
fn becomes_each(technique: &str, before: &str, after: &[&str]) {
    for tonic in TONICS {
        made("C", technique, before, after, tonic).unwrap();
    }
}

#[test]
fn the_cycle_of_thirds_is_exactly_as_printed() {
    // An encyclopedia's article on this cycle, and a worked list of the same formula in other keys.
    for (key, before, after) in [
        (
            "D",
            "| Em7 | A7 | Dmaj7 | Dmaj7 |",
            "| Em7 F7 | Bbmaj7 Db7 | Gbmaj7 A7 | Dmaj7 |",
        ),
        (
            "C",
            "| Dm7 | G7 | Cmaj7 | Cmaj7 |",
            "| Dm7 Eb7 | Abmaj7 B7 | Emaj7 G7 | Cmaj7 |",
        ),
        (
            "Eb",
            "| Fm7 | Bb7 | Ebmaj7 | Ebmaj7 |",
            "| Fm7 F#7 | Bmaj7 D7 | Gmaj7 Bb7 | Ebmaj7 |",
        ),
        (
            "F",
            "| Gm7 | C7 | Fmaj7 | Fmaj7 |",
            "| Gm7 Ab7 | Dbmaj7 E7 | Amaj7 C7 | Fmaj7 |",
        ),
    ] {
        let outcomes = Stage::new(key, before).outcomes("thirds-cycle");
        assert_eq!(outcomes, [bars(key, after)], "{key}");
    }
}

const FALLING: &str = "| Em7 | Am7 | Dm7 | G7 | C |";

#[test]
fn one_row_of_fifths_is_reharmonised_as_the_summary_prints() {
    // "Reharmonization Summary" (course sheet).
    becomes("extended-dominants", FALLING, "| E7 | A7 | D7 | G7 | C |");
    becomes(
        "passing-diminished",
        FALLING,
        "| Em7 | Ebdim7 | Dm7 | G7 | C |",
    );
    // Em7 Eb7 Dm7 Db7 Cmaj7 takes two steps.
    becomes(
        "half-step-approach",
        FALLING,
        "| Em7 | Eb7 | Dm7 | G7 | C |",
    );
    becomes(
        "tritone",
        "| Em7 | Eb7 | Dm7 | G7 | C |",
        "| Em7 | Eb7 | Dm7 | Db7 | C |",
    );
    becomes(
        "tritone",
        "| Em7 | A7 | Dm7 | G7 | C |",
        "| Em7 | Eb7 | Dm7 | G7 | C |",
    );
}

const BLUES: &str =
    "| C7 | F7 | C7 | C7 |\n| F7 | F7 | C7 | Em7 A7 |\n| Dm7 | G7 | C7 A7 | Dm7 G7 |";

#[test]
fn the_sixth_bar_of_a_blues_rises_to_sharp_four() {
    let after =
        "| C7 | F7 | C7 | C7 |\n| F7 | F#dim7 | C7 | Em7 A7 |\n| Dm7 | G7 | C7 A7 | Dm7 G7 |";
    becomes("sharp-four-diminished", BLUES, after);
}

#[test]
fn what_the_texts_print_in_a_line_each() {
    for (technique, before, after) in [
        ("related-ii", "| Db7 | Cmaj7 |", "| Abm7 Db7 | Cmaj7 |"),
        ("related-ii", "| A7 | Dm7 |", "| Em7b5 A7 | Dm7 |"),
        ("related-ii", "| C7 | F7 |", "| Gm7 C7 | F7 |"),
        ("backdoor", "| G7 | Cmaj7 |", "| Bb7 | Cmaj7 |"),
        ("backdoor", "| G7 | Cmaj7 |", "| Fm7 Bb7 | Cmaj7 |"),
        ("backdoor", "| Fmaj7 G7 | Cmaj7 |", "| Fm7 Bb7 | Cmaj7 |"),
        (
            "passing-diminished",
            "| Dm7 | Em7 |",
            "| Dm7 D#dim7 | Em7 |",
        ),
        (
            "passing-diminished",
            "| Fmaj7 | G7 |",
            "| Fmaj7 F#dim7 | G7 |",
        ),
        ("passing-diminished", "| G7 | Am7 |", "| G7 G#dim7 | Am7 |"),
        (
            "passing-diminished",
            "| Em7 | Dm7 |",
            "| Em7 Ebdim7 | Dm7 |",
        ),
        (
            "passing-diminished",
            "| C | Am7 | Dm7 |",
            "| C | C#dim7 | Dm7 |",
        ),
        ("auxiliary-diminished", "| G7 | C |", "| Gdim7 G7 | C |"),
        ("minor-plagal", "| F | C |", "| Fm6 | C |"),
        ("sus-delay", "| G7 | C |", "| G7sus | C |"),
        ("deceptive", "| G7 | C |", "| G7 | Abmaj7 |"),
        ("deceptive", "| G7 | C |", "| G7 | Fmaj7 |"),
        ("deceptive", "| G7 | C |", "| G7 | Em7 |"),
        ("borrowed", "| Am7 | Fmaj7 |", "| Abmaj7 | Fmaj7 |"),
        ("borrowed", "| Em7 | Dm7 |", "| Ebmaj7 | Dm7 |"),
        ("borrowed", "| Fmaj7 | G7 |", "| Abmaj7 | G7 |"),
        ("borrowed", "| Fmaj7 | C |", "| Bb7 | C |"),
        ("borrowed", "| Fmaj7 | G7 |", "| Fm7 | G7 |"),
        ("borrowed", "| G7 | Am7 |", "| Gm7 | Am7 |"),
        ("borrowed", "| G7 | C |", "| Dbmaj7 | C |"),
        ("borrowed", "| Bm7b5 | C |", "| Bb7 | C |"),
        ("line-cliche", "| C | C | Am7 |", "| C C+ | C6 C+ | Am7 |"),
        ("bass-line", "| Am7 | Fmaj7 |", "| Am7 Am7/G | Fmaj7 |"),
        ("bass-line", "| C | F |", "| C C/E | F |"),
        ("hybrid", "| G7sus | C |", "| F/G | C |"),
        ("hybrid", "| G7 | C |", "| Dm/G | C |"),
        ("hybrid", "| Cmaj7 | F |", "| G/C | F |"),
        ("hybrid", "| Dm7 | G7 |", "| Am/D | G7 |"),
        (
            "backdoor",
            "| Fmaj7 | G7 | Cmaj7 |",
            "| Fmaj7 | Fm7 Bb7 | Cmaj7 |",
        ),
        ("minor-plagal", "| F7 | C7 |", "| F7 Fm6 | C7 |"),
        ("displacement", "| Dm7 | G7 | C |", "| Dm7 | Dm7 G7 | C |"),
        ("displacement", "| Dm7 | G7 | C |", "| Dm7 G7 | G7 | C |"),
        ("displacement", "| Dm7 | G7 | C |", "| Dm7 | G7 C | C |"),
        ("line-cliche", "| C | F |", "| C C+ C6 C7 | F |"),
        ("line-cliche", "| Dm7 | G7 |", "| Dm / Dm(maj7) Dm7 | G7 |"),
        (
            "bass-line",
            "| Em7 | Am7 | Dm7 | G7 | Cmaj7 |",
            "| Em7 | Eb7 | Dm7 | Db7 | Cmaj7 |",
        ),
        ("bass-line", "| C | F |", "| C / Dm7 C/E | F |"),
        ("bass-line", "| C | C | F |", "| C G/B | Am7 C/G | F |"),
        ("bass-line", "| F | C |", "| F / C/E Dm7 | C |"),
        ("bass-line", "| C | Dm/F |", "| C C/E | Dm/F |"),
    ] {
        becomes(technique, before, after);
    }
}

#[test]
fn chains_of_two_fives_are_as_printed() {
    // An encyclopedia's article on the changes of a bebop blues.
    becomes(
        "two-five-chain",
        "| Cmaj7 | C6 | Cmaj7 | C6 | F7 |",
        "| Cmaj7 | Bm7b5 E7 | Am7 D7 | Gm7 C7 | F7 |",
    );
    becomes(
        "two-five-chain",
        "| C7 | F7 | C7 | C7 | F7 | F7 |",
        "| C7 | Bm7b5 E7 | Am7 D7 | Gm7 C7 | F7 | F7 |",
    );
    becomes(
        "two-five-chain",
        "| F7 | C7 | C7 | Dm7 | G7 |",
        "| F7 | Em7 A7 | Ebm7 Ab7 | Dm7 | G7 |",
    );
    becomes(
        "two-five-chain",
        "| C | C | Am7 |",
        "| C | Bm7b5 E7 | Am7 |",
    );
    becomes(
        "two-five-chain",
        "| F | C | C | C | F |",
        "| F | C | Am7 D7 | Gm7 C7 | F |",
    );
}

#[test]
fn a_bar_in_which_the_melody_rests_turns_round_to_what_comes() {
    for (before, after) in [
        ("| G7 | C | C6 |", "| G7 | C / Dm7 G7 | C6 |"),
        ("| G7 | C | C6 |", "| G7 | C A7 Dm7 G7 | C6 |"),
        ("| G7 | C | Fmaj7 |", "| G7 | C / Gm7 C7 | Fmaj7 |"),
        ("| G7 | C | Am7 |", "| G7 | C / Bm7b5 E7 | Am7 |"),
        ("| G7 | C7 | Dm7 |", "| G7 | C7 / Em7 A7 | Dm7 |"),
    ] {
        becomes("resting-turnaround", before, after);
    }
    becomes(
        "resting-turnaround",
        "meter: 3/4\n| G7 | C | Fmaj7 |",
        "meter: 3/4\n| G7 | C Gm7 C7 | Fmaj7 |",
    );
    let found = |bar: &str| {
        let rows = format!("| G7 | C | Fmaj7 |\nmel | D5:4 | {bar} | A4:4 |");
        Stage::new("C", &rows).outcomes("resting-turnaround").len()
    };
    assert_eq!(found("G4:4"), 1);
    assert_eq!(found("G4:1 r:3"), 1);
    assert_eq!(found("G4:2 Bb4:2"), 0);
}

#[test]
fn basses_that_fall_or_stay_through_a_phrase() {
    for (technique, before, after) in [
        (
            "descending-bass",
            "| C | Am | F | G7 |",
            "| C G/B | Am C/G | F | G7 |",
        ),
        (
            "descending-bass",
            "| C Am7 | F / Dm7 / |",
            "| C G/B Am7 C/G | F C/E Dm7 / |",
        ),
        ("pedal", "| Dm7 | G7 | C |", "| Dm7/G | G7 | C |"),
        ("pedal", "| Dm7 G7 | C |", "| Dm7/G G7 | C |"),
        ("pedal", "| C | F | G7 | C |", "| C | F/C | G7/C | C |"),
    ] {
        becomes(technique, before, after);
    }
}

#[test]
fn the_turnarounds_of_the_texts() {
    // An encyclopedia's article on turnarounds and a column on them; with diminished chords from memory.
    let texts = [
        "| C Am7 | Dm7 G7 | C6 |",
        "| C A7 | Dm7 G7 | C6 |",
        "| Em7 A7 | Dm7 G7 | C6 |",
        "| C Eb7 | Ab7 Db7 | C6 |",
        "| C Eb7 | Abmaj7 Db7 | C6 |",
        "| C C#dim7 | Dm7 G7 | C6 |",
        "| C Ebdim7 | Dm7 G7 | C6 |",
    ];
    for before in [
        "| C | C | C6 |",
        "| C | G7 | C6 |",
        "| C | Dm7 G7 | C6 |",
        "| C Am7 | Dm7 G7 | C6 |",
        "| C Eb7 | Ab7 Db7 | C6 |",
    ] {
        let others = texts.iter().filter(|after| **after != before);
        let others: Vec<&str> = others.copied().collect();
        becomes_each("turnaround", before, &others);
    }
    // The end of a jazz blues.
    becomes("turnaround", "| C7 | G7 | C7 |", "| C7 A7 | Dm7 G7 | C7 |");
    let alone = |rows| Stage::new("C", rows).by("turnaround").is_empty();
    assert!(alone("| C7 | C7 | F7 |") && alone("| Dm7 | G7 | C |"));
    assert!(alone("| G7 C | C | C |") && alone("| C F | Dm7 G7 | C |"));
}

#[test]
fn every_secondary_dominant_of_the_key() {
    for (target, dominant) in [
        ("Dm7", "A7"),
        ("Em7", "B7"),
        ("Fmaj7", "C7"),
        ("G7", "D7"),
        ("Am7", "E7"),
    ] {
        let before = format!("| C6 | {target} |");
        let after = format!("| C6 {dominant} | {target} |");
        becomes("secondary-dominant", &before, &after);
    }
    assert!(
        Stage::new("C", "| C6 | Bm7b5 |")
            .by("secondary-dominant")
            .is_empty()
    );
    assert!(
        Stage::new("C", "| C6 | Ebm7 |")
            .by("secondary-dominant")
            .is_empty()
    );
}

#[test]
fn every_pair_of_the_key_with_three_tones_in_common() {
    for (one, other) in [
        ("Cmaj7", "Em7"),
        ("Cmaj7", "Am7"),
        ("Dm7", "Fmaj7"),
        ("Fmaj7", "Am7"),
        ("G7", "Bm7b5"),
    ] {
        becomes("diatonic", &format!("| {one} |"), &format!("| {other} |"));
        becomes("diatonic", &format!("| {other} |"), &format!("| {one} |"));
    }
}

#[test]
fn three_beats_part_as_two_and_one_and_two_as_one_and_one() {
    let ii = |rows: &str| Stage::new("C", rows).outcomes("related-ii");
    assert_eq!(
        ii("meter: 3/4\n| G7 | C |"),
        [bars("C", "meter: 3/4\n| Dm7 / G7 | C |")]
    );
    assert_eq!(ii("| Am7 G7 | C |"), [bars("C", "| Am7 / Dm7 G7 | C |")]);
    assert_eq!(
        ii("meter: 6/8\n| G7 | C |"),
        [bars("C", "meter: 6/8\n| Dm7 G7 | C |")]
    );
    assert!(ii("| Em7 Am7 Dm7 Db7 | C |").is_empty());
    assert!(ii("| Em7 Am7 Fm7 G7 | C |").is_empty());
}

#[test]
fn a_long_chord_is_parted_at_the_bar_line() {
    let ii = Stage::new("C", "| G7 | G7 | C |").outcomes("related-ii");
    assert_eq!(ii, [bars("C", "| Dm7 | G7 | C |")]);
    let tritone = Stage::new("C", "| G7 | G7 | C |").outcomes("tritone");
    assert_eq!(
        tritone,
        [
            bars("C", "| Db7 | Db7 | C |"),
            bars("C", "| G7 | Db7 | C |")
        ]
    );
}

/// For each technique at least one passage it leaves alone.
const NO_PLACE: [(&str, &str); 42] = [
    ("tritone", "| G7 | Am7 |"),
    ("tritone", "| Gm7 | C |"),
    ("tritone", "| G7/B | C |"),
    ("related-ii", "| Dm7 | G7 | C |"),
    ("related-ii", "| Bb7 | C |"),
    ("extended-dominants", "| Am7 | Em7 | C |"),
    ("half-step-approach", "| Cm7 | Ebm7 |"),
    ("half-step-approach", "| Db7 | C |"),
    ("backdoor", "| Dm7 | G7 | Am7 |"),
    ("passing-diminished", "| C | Em7 |"),
    ("passing-diminished", "| Dm7 | C |"),
    ("passing-diminished", "| Eb6 | Fmaj7 |"),
    ("passing-diminished", "| Em7 | F#m7 |"),
    ("passing-diminished", "| Cdim7 | Dm7 |"),
    ("passing-diminished", "| Cmaj7 | Ddim7 |"),
    ("sharp-four-diminished", "| Fm7 | C |"),
    ("auxiliary-diminished", "| Dm7 | C/E |"),
    ("minor-plagal", "| F | G |"),
    ("borrowed", "| C | Eb |"),
    ("thirds-cycle", "| Dm7 | G7 | Cmaj7 | Am7 |"),
    ("thirds-cycle", "| Dm7 G7 | Cmaj7 | Cmaj7 | Cmaj7 |"),
    ("sus-delay", "| G7sus | C |"),
    ("hybrid", "| Bm7b5 | C |"),
    ("diatonic", "| Gm7 | Eb |"),
    ("deceptive", "| Dm7 | C |"),
    ("displacement", "| F | C |"),
    ("constant-structure", "| Am7 | Dm7 | G7 | C |"),
    ("line-cliche", "| Cm7b5 | Cm7b5 |"),
    ("bass-line", "| C | D7 |"),
    ("turnaround", "| C | C | F |"),
    ("secondary-dominant", "| C6 | Bm7b5 |"),
    ("displacement", "| G7 | Am7 |"),
    ("resting-turnaround", "| Dm7 | G7 |"),
    ("resting-turnaround", "| C F | G7 |"),
    ("two-five-chain", "| Dm7 | G7 | C |"),
    ("two-five-chain", "| C | A7 | Dm7 |"),
    ("two-five-chain", "| C | C | Fdim7 |"),
    ("descending-bass", "| C | Am7 | D7 |"),
    ("descending-bass", "| Am7 | Fmaj7 | Dm7 |"),
    ("pedal", "| Dm7 | G7 | Am7 |"),
    ("pedal", "| C | D7 | G7 | Am7 |"),
    ("pedal", "| C | F | C |"),
];

#[test]
fn nothing_is_proposed_where_a_technique_has_no_place() {
    for (technique, rows) in NO_PLACE {
        let found = Stage::new("C", rows).outcomes(technique);
        assert!(found.is_empty(), "{technique}: {found:?}");
    }
    for way in TECHNIQUES {
        let has_case = |case: &(&str, &str)| case.0 == way.name;
        assert!(NO_PLACE.iter().any(has_case), "no case for {}", way.name);
    }
}

#[test]
fn without_a_key_only_what_needs_none_is_proposed() {
    let stage = Stage::of(crate::chart::read("| Dm7 | G7 | Cmaj7 | Cmaj7 |").unwrap());
    let mut names: Vec<&str> = stage.all().iter().map(|p: &Proposal| p.technique).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(
        names,
        [
            "bass-line",
            "displacement",
            "hybrid",
            "line-cliche",
            "sus-delay",
            "tritone"
        ]
    );
}
