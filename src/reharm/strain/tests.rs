//! What strain, links and idleness make of proposals a pianist knows.

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

/// A chord of one beat is crowded where the tempo leaves it less than 0.4 s.
#[test]
fn a_hurried_chord_is_crowded() {
    let style = |tempo: &str, rows: &str| {
        let rows = format!("tempo: {tempo}\n{rows}");
        judged(&rows, "2:resting-turnaround").strain.style
    };
    let rows = "| Dm7 G7 | Cmaj7 | Dm7 G7 | C6 |\nmel | r:4 | E5:4 | r:4 | C5:4 |";
    let each = ["100", "150", "151"].map(|tempo| style(tempo, rows));
    assert_eq!(each, [0, 0, 2]);
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
            [2, 1, 0, 2, 2, 0],
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

#[test]
fn a_bass_that_moves_below_the_same_chord_is_told_apart() {
    let walks = judged("| C6 | Am7 | Fmaj7 | C6 |", "2:bass-line");
    assert!(walks.bass_only);
    assert!(!judged("| Dm7 | G7 | C6 | C6 |", "2:tritone").bass_only);
}
