//! The four-note rootless forms, row by row.

use compline::voicing::{Colour, admitted, block_root};

use super::*;
use Colour::{Natural, Written};

#[test]
fn every_textbook_row_comes_out_in_all_twelve_keys() {
    let mut checked = 0;
    for row in rows(include_str!("rootless.txt")) {
        let [symbols, colour, where_to, form, degrees, semitones] = row[..] else {
            panic!("not six cells: {row:?}");
        };
        let semitones: Vec<i32> = semitones.split(' ').map(|s| s.parse().unwrap()).collect();
        let settings = settings("rootless", colour.parse().unwrap(), free_hand());
        for suffix in symbols.split(' ') {
            for (class, root) in (0..).zip(ROOTS) {
                let symbol = format!("{root}{}", suffix.replace("triad", ""));
                let found = voiced(&symbol, place(where_to), &settings);
                same_in_every_octave(&symbol, &found, class, (form, degrees, &semitones));
                checked += 1;
            }
        }
    }
    assert!(checked >= 12 * 70, "{checked}");
}

/// The row stands in at least five octaves of a hand that minds nothing, each time as written.
fn same_in_every_octave(symbol: &str, found: &Candidates, class: i32, row: (&str, &str, &[i32])) {
    let (row_form, row_degrees, semitones) = row;
    let matching: Vec<_> = found
        .voicings
        .iter()
        .filter(|v| degrees(v) == row_degrees)
        .collect();
    assert!(matching.len() >= 5, "{symbol}: {row_degrees}");
    for voicing in matching {
        let base = midi(voicing)[0] - semitones[0];
        let above: Vec<i32> = midi(voicing).iter().map(|m| m - base).collect();
        assert_eq!((base % 12, &above[..]), (class, semitones), "{symbol}");
        assert_eq!(form(voicing), row_form, "{symbol} {row_degrees}");
        assert!(row_degrees.starts_with(&voicing.lowest.to_string()));
    }
}

/// The pitch classes of a symbol's voicing with these degrees.
fn classes(symbol: &str, colour: Colour, place: Place, wanted: &str) -> Vec<i32> {
    let found = voiced(symbol, place, &settings("rootless", colour, free_hand()));
    let voicing = found.voicings.iter().find(|v| degrees(v) == wanted);
    let voicing = voicing.unwrap_or_else(|| panic!("{symbol} has no {wanted}"));
    let mut classes: Vec<i32> = midi(voicing).iter().map(|m| m % 12).collect();
    classes.sort();
    classes
}

#[test]
fn different_names_of_the_same_notes_agree() {
    let plain = |symbol: &str| -> Vec<i32> {
        let chord = chord(symbol);
        let mut classes: Vec<i32> = midi(&block_root(&chord).unwrap())
            .iter()
            .map(|m| m % 12)
            .collect();
        classes.sort();
        classes
    };
    assert_eq!(
        classes("Dm9", Natural, ELSEWHERE, "b3 5 b7 9"),
        [0, 4, 5, 9]
    );
    assert_eq!(plain("Fmaj7"), [0, 4, 5, 9]);
    assert_eq!(
        classes("Cmaj9", Natural, ELSEWHERE, "3 5 7 9"),
        [2, 4, 7, 11]
    );
    assert_eq!(plain("Em7"), [2, 4, 7, 11]);
    assert_eq!(classes("G9", Written, ELSEWHERE, "3 5 b7 9"), [2, 5, 9, 11]);
    assert_eq!(plain("Bm7b5"), [2, 5, 9, 11]);
    assert_eq!(
        classes("G7b9", Written, ELSEWHERE, "3 5 b7 b9"),
        [2, 5, 8, 11]
    );
    assert_eq!(plain("Bdim7"), [2, 5, 8, 11]);
    assert_eq!(
        classes("C13sus", Written, ELSEWHERE, "b7 9 4 13"),
        [2, 5, 9, 10]
    );
    assert_eq!(plain("Bbmaj7"), [2, 5, 9, 10]);
    assert_eq!(
        classes("Cm6/9", Written, ELSEWHERE, "b3 5 6 9"),
        [2, 3, 7, 9]
    );
    assert_eq!(
        classes("F13", Written, ELSEWHERE, "3 13 b7 9"),
        [2, 3, 7, 9]
    );
    assert_eq!(plain("Cm7b5"), plain("Ebm6"));
    assert_eq!(
        classes("G7alt", Written, ELSEWHERE, "3 b13 b7 #9"),
        [3, 5, 10, 11]
    );
    assert_eq!(
        classes("Db13", Written, ELSEWHERE, "b7 9 3 13"),
        [3, 5, 10, 11]
    );
}

#[test]
fn a_symbol_lists_what_it_admits_in_each_colour() {
    let all = admitted(&chord("G7alt"));
    let shown: Vec<String> = all
        .iter()
        .filter(|a| a.shape == "rootless" && a.colour == Written)
        .map(|a| {
            a.layout
                .degrees()
                .map(|d| d.to_string())
                .collect::<Vec<_>>()
                .join(" ")
        })
        .collect();
    assert_eq!(
        shown,
        ["3 b13 b7 #9", "b7 #9 3 b13", "3 b13 b7 b9", "b7 b9 3 b13"]
    );
}
