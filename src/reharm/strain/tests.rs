//! What strain, links and idleness make of proposals a pianist knows.

use super::weights::OUT_OF_STYLE;
use crate::arrange::Settings;
use crate::chart::read;
use crate::reharm::{AskedPlaces, Judgement, Ways, reharm};

/// What is judged of the proposal of this name.
fn judged(rows: &str, name: &str) -> Judgement {
    let chart = read(&format!("key: C\n{rows}")).unwrap();
    let all = AskedPlaces {
        free: (0..99).collect(),
        ..AskedPlaces::default()
    };
    let all = reharm(&chart, &Settings::default(), &Ways::default(), &all).unwrap();
    let all = all.listed;
    let found = all.iter().find(|one| one.name.to_string() == name);
    let names = || {
        all.iter()
            .map(|one| format!("{} {}", one.name, one.in_short()))
    };
    let found = found.unwrap_or_else(|| panic!("{name}: {:#?}", names().collect::<Vec<_>>()));
    found.judgement
}

/// A ii-V in the last half of a bar may be fast; a written chord that is cut to a beat, one that is held back for a
/// beat, and a line of short chords may not; four chords of a line in a bar never.
#[test]
fn what_is_over_before_it_is_heard_is_out_of_style() {
    let style = |tempo: u32, rows: &str, name: &str| {
        judged(&format!("tempo: {tempo}\n{rows}"), name)
            .strain
            .style
    };
    let half = "| Cmaj7 | Dm7 G7 | C6 A7 | Dm7 G7 | C6 |";
    for (rows, name, at_most) in [
        (half, "3.2:related-ii", 400),
        (
            "| Cmaj7 | C6 Am7 | Dm7 | G7 | C6 |",
            "2.2:secondary-dominant",
            136,
        ),
        (half, "2.2:sus-delay", 100),
        ("| Cmaj7 | Dm7 | G7 | C6 |", "2:line-cliche", 150),
        (
            "| Cmaj7 | Dm7 | Dm7 | A7 | Dm7 | C6 |",
            "2-3:line-cliche",
            300,
        ),
        ("| Cmaj7 | Am | F | C6 |", "2:line-cliche", 0),
    ] {
        let wanted = [40, 100, 101, 136, 137, 150, 151, 300].map(|tempo| match tempo <= at_most {
            true => 0,
            false => OUT_OF_STYLE,
        });
        let found = [40, 100, 101, 136, 137, 150, 151, 300].map(|tempo| style(tempo, rows, name));
        assert_eq!(found, wanted, "{name} in {rows}");
    }
}

#[test]
fn each_part_is_what_the_table_says() {
    for (rows, name, wanted) in [
        // Db7 for G7 for a bar: G and D go, Db and Ab come.
        ("| Dm7 | G7 | C6 | C6 |", "2:tritone", [2, 2, 0, 2, 0, 0]),
        // All its tones are in the altered scale of C: only C itself goes.
        ("| C7alt | Fm6 | C6 | C6 |", "1:tritone", [2, 1, 0, 0, 0, 0]),
        // Half a bar of it.
        ("| Dm7 G7 | C6 | C6 |", "1.2:tritone", [0, 1, 0, 2, 0, 0]),
        // Only the half that changes counts.
        ("| C6 | G7 | C6 | C6 |", "2:related-ii", [0, 1, 0, 0, 0, 0]),
        ("| Dm7 | G7 | C6 | C6 |", "1-2:backdoor", [4, 3, 0, 2, 0, 0]),
        (
            "| Dm7 | G7 | Cmaj7 | Cmaj7 | C6 |",
            "1-4:thirds-cycle",
            [6, 3, 0, 2, 0, 0],
        ),
        (
            "| Fmaj7 | G7 | C6 | C6 |",
            "1:diatonic.2",
            [2, 1, 0, 0, 0, 0],
        ),
        (
            "| C6 | Am7 | Dm7 | G7 | C6 |",
            "2:diatonic",
            [2, 1, 2, 0, 0, 0],
        ),
        // The diminished #IV goes home a half step below the fifth.
        (
            "| C7 | F7 | F7 | C7 |",
            "3:sharp-four-diminished",
            [2, 1, 0, 1, 0, 0],
        ),
        // So does one that fills a whole step upwards.
        (
            "| C6 | Dm7 | G7 | C6 |",
            "1:passing-diminished",
            [0, 1, 0, 2, 0, 0],
        ),
        // A b9 over the substitute, for four beats and for one: its scale has the natural 9.
        (
            "| G7 | C6 | C6 |\nmel | D5:4 | r:4 | r:4 |",
            "1:tritone",
            [2, 1, 0, 2, 4, 0],
        ),
        (
            "| G7 | C6 | C6 |\nmel | D5:1 B4:3 | r:4 | r:4 |",
            "1:tritone",
            [2, 1, 0, 2, 2, 0],
        ),
    ] {
        assert_eq!(
            judged(rows, name).strain.parts(),
            wanted,
            "{name} in {rows}"
        );
    }
}

#[test]
fn the_way_on_is_the_worst_of_all_endings() {
    let straight = judged("| C6 | Dm7 | G7 |", "2:borrowed");
    let either = judged("|: C6 | Dm7 |1 G7 :|2 C6 |", "2:borrowed");
    assert_eq!((straight.strain.way_on, either.strain.way_on), (0, 2));
}

#[test]
fn links_are_counted_against_the_written_ones() {
    for (rows, name, leads) in [
        ("| C6 | Dm7 | G7 | C6 |", "1:secondary-dominant", 1),
        ("| C6 | G7 | C6 | C6 |", "2:related-ii", 1),
        ("| Dm7 | G7 | C6 | C6 |", "2:tritone", 0),
        ("| C6 | Dm7 | G7 | C6 |", "1:passing-diminished", 1),
    ] {
        assert_eq!(judged(rows, name).leads_on, leads, "{name} in {rows}");
    }
}

#[test]
fn what_stands_beside_already_and_what_just_sounded_is_idle() {
    assert!(judged("| Dm7 | G7 | C6 | C6 |", "2:displacement").idle);
    assert!(judged("| Dm7 | G7 | C6 | C6 |", "2:sus-delay").idle);
    assert!(judged("| Dm7 | G7 | C6 | C6 |", "2:hybrid").idle);
    assert!(!judged("| C6 | G7 | C6 | C6 |", "2:related-ii").idle);
    assert!(!judged("| Dm7 | G7 | C6 | C6 |", "2:tritone").idle);
}

/// A hybrid that is but a voicing or takes the third that the V waits for, and a section that opens darker than
/// written, bring little.
#[test]
fn what_brings_little_is_dull() {
    for (rows, name, dull) in [
        ("| C6 | Fmaj7 | C6 | C6 |", "2:hybrid", true),
        ("| C6 | Dm7 | G7 | C6 |", "2:hybrid", true),
        ("| C6 | Dm7 | G7sus | G7 | C6 |", "2:hybrid", true),
        ("| C | Dm7 | G7 | C | F | C |", "2:hybrid", true),
        ("| C | Dm7 | G7sus | G | F | C |", "2:hybrid", false),
        // In a song in triads a ii-V round to I; in another it is at home.
        ("| C | C | F | C |", "1:resting-turnaround", true),
        ("| C | C | F | Am |", "2:resting-turnaround", false),
        ("| C6 | Cmaj7 | Fmaj7 | C6 |", "1:resting-turnaround", false),
        // The IV7 of a blues turns minor.
        ("| C7 | F7 | C7 | C7 | G7 | C7 |", "2:minor-plagal", true),
        ("| C6 | F6 | C6 | C6 | G7 | C6 |", "2:minor-plagal", false),
        ("| C6 | Dm7 | G7 | C6 |", "3:hybrid", false),
        (
            "[A]\n| C6 | Am7 | C6 | C6 |\n[B]\n| F | G7 | C6 | C6 |",
            "5:diatonic",
            true,
        ),
        (
            "| C6 | Am7 | C6 | Am7 | F | G7 | C6 | C6 |",
            "5:diatonic",
            false,
        ),
    ] {
        assert_eq!(judged(rows, name).dull, dull, "{name} in {rows}");
    }
}

/// What a tune in triads has no place for, by the share of its triads; a dance has the least.
#[test]
fn what_a_plain_tune_has_no_place_for_is_out_of_its_style() {
    let run = "C5:1/2 E5:1/2 G5:1/2 E5:1/2 C5:1/2 E5:1/2 G5:1/2 E5:1/2";
    let up = "C5:1/2 D5:1/2 E5:1/2 G5:1/2 D5:1/2 F5:1/2 E5:1/2 D5:1/2";
    let reel = format!(
        "tempo: 200\n| C | C | F | C | G | C |\nmel | {run} | {up} | r:4 | r:4 | r:4 | r:4 |"
    );
    let song = "tempo: 80\n| C | C | F | C | G | C |";
    let mixed = "tempo: 80\n| C | C | F | C | G7 | Cmaj7 | Am7 | Dm7 | G7 | C |";
    let jazz = "tempo: 80\n| C6 | Cmaj7 | Fmaj7 | Cmaj7 | G7 | Cmaj7 | Dm7 | G7 | Cmaj7 | Cmaj7 |";
    for (rows, name, out) in [
        (reel.as_str(), "2:secondary-dominant", true),
        (song, "2:secondary-dominant", false),
        (song, "1-2:line-cliche", true),
        (song, "5:auxiliary-diminished", true),
        (song, "2:resting-turnaround", true),
        (song, "4:half-step-approach", true),
        (mixed, "4:half-step-approach", true),
        (jazz, "4:half-step-approach", false),
    ] {
        assert_eq!(
            judged(rows, name).is_out_of_style(),
            out,
            "{name} in {rows}"
        );
    }
    assert!(!judged(&reel, "1-2:bass-line").is_out_of_style());
}

/// A colour that the tune has later on is kept for its place.
#[test]
fn a_colour_that_is_to_come_is_not_spent() {
    let out = |rows: &str| judged(rows, "2:borrowed").is_out_of_style();
    assert!(out("| C | Dm7 | G | C | F | Fm | G | C |"));
    assert!(!out("| C | Dm7 | G | C | F | F | G | C |"));
}

#[test]
fn a_bass_that_moves_below_the_same_chord_is_told_apart() {
    let walks = judged("| C6 | Am7 | Fmaj7 | C6 |", "2:bass-line");
    assert!(walks.bass_only);
    assert!(!judged("| Dm7 | G7 | C6 | C6 |", "2:tritone").bass_only);
}
