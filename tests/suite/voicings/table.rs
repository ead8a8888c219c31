//! The four-note rootless forms, row by row.

use compline::voicing::{Colour, admitted, block_root};

use super::*;
use Colour::{Altered, Natural, Written};

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
                let found = voiced(&symbol, context(where_to), &settings);
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
fn classes(symbol: &str, colour: Colour, context: HarmonicContext, wanted: &str) -> Vec<i32> {
    let found = voiced(symbol, context, &settings("rootless", colour, free_hand()));
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
        .filter(|a| a.shape.name == "rootless" && a.colour == Written)
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
        [
            "3 b13 b7 #9",
            "b7 #9 3 b13",
            "3 b13 b7 b9",
            "b7 b9 3 b13",
            "b13 b7 b9 3",
            "b9 3 b13 b7"
        ]
    );
}

/// The plainer fillings beside the usual ones: the root, the 5, or an 11 over minor. And the inversions that
/// are neither form.
#[test]
fn where_a_usual_tension_would_stand_a_plainer_tone_is_charged_for() {
    for (suffix, where_to, tones) in [
        (
            "m7",
            ELSEWHERE,
            "b3 5 b7 1, b7 1 b3 5, 5 b7 1 b3, b3 11 5 b7, b7 b3 11 5",
        ),
        ("maj7", ELSEWHERE, "5 7 9 3, 9 3 5 7, 7 1 3 5, 5 7 1 3"),
        (
            "7",
            INTO_MAJOR,
            "3 5 b7 9, b7 9 3 5, 5 b7 9 3, 9 3 5 b7, 3 13 b7 1, b7 1 3 13, 3 5 b7 1, b7 1 3 5, 5 b7 1 3",
        ),
        (
            "7",
            INTO_MINOR,
            "b13 b7 b9 3, b9 3 b13 b7, 3 b13 b7 1, b7 1 3 b13, 3 5 b7 1, b7 1 3 5, 5 b7 1 3",
        ),
        ("m7b5", ELSEWHERE, ""),
        ("dim7", ELSEWHERE, ""),
        ("9", ELSEWHERE, "5 b7 9 3, 9 3 5 b7"),
    ] {
        for root in ROOTS {
            let found = voiced(
                &format!("{root}{suffix}"),
                where_to,
                &settings("rootless", Natural, free_hand()),
            );
            let mut want: Vec<&str> = tones.split(", ").filter(|row| !row.is_empty()).collect();
            want.sort();
            assert_eq!(plainer(&found), want, "{root}{suffix}");
        }
    }
}

#[test]
fn a_plainer_filling_costs_six_for_each_tension_and_half_for_the_fifth() {
    let charged = |symbol: &str, context, notes: &str| {
        let found = voiced(symbol, context, &settings("rootless", Natural, free_hand()));
        let mut same = found
            .voicings
            .iter()
            .filter(|voicing| degrees(voicing) == notes);
        same.next().unwrap().surcharges.plain
    };
    assert_eq!(charged("Dm7", ELSEWHERE, "b3 5 b7 9"), 0);
    assert_eq!(charged("Dm7", ELSEWHERE, "b3 5 b7 1"), 6);
    assert_eq!(charged("G7", INTO_MAJOR, "3 13 b7 9"), 0);
    assert_eq!(charged("G7", INTO_MAJOR, "3 5 b7 9"), 3);
    assert_eq!(charged("G7", INTO_MAJOR, "b7 1 3 13"), 6);
    // 13, b7 and root are a cluster.
    assert_eq!(charged("G7", INTO_MAJOR, "3 13 b7 1"), 12);
    assert_eq!(charged("G7", INTO_MAJOR, "3 5 b7 1"), 9);
    assert_eq!(charged("G7b9", INTO_MAJOR, "3 5 b7 b9"), 0);
    // An inversion that is neither form costs half a tension, a #9 below the third two.
    assert_eq!(charged("Cmaj7", ELSEWHERE, "5 7 9 3"), 3);
    assert_eq!(charged("G7", INTO_MAJOR, "5 b7 9 3"), 6);
    assert_eq!(charged("A7#9", INTO_MINOR, "3 b13 b7 #9"), 0);
    assert_eq!(charged("A7#9", INTO_MINOR, "b7 #9 3 b13"), 12);
}

/// A voicing with the root is not called rootless.
#[test]
fn the_sixth_that_colours_a_bare_triad_never_carries_it() {
    for root in ROOTS {
        let settings = settings("rootless", Natural, free_hand());
        let triad = voiced(root, ELSEWHERE, &settings);
        assert_eq!(usual(&triad), ["3 5 6 9"], "{root}");
        let lowest = triad.voicings.iter().map(|v| v.lowest.to_string());
        assert!(lowest.clone().all(|degree| degree != "6"), "{root}");
        // Where the 3 would lie too low or too high, the root may carry it.
        assert!(lowest.clone().any(|degree| degree == "1"), "{root}");
        let sixth = voiced(&format!("{root}6"), ELSEWHERE, &settings);
        assert_eq!(usual(&sixth), ["3 5 6 9", "6 9 3 5"], "{root}6");
    }
}

#[test]
fn what_has_its_root_is_called_a_block() {
    for (symbol, colour) in [
        ("Dm7", Natural),
        ("G7", Written),
        ("Cm7b5", Natural),
        ("Cdim7", Natural),
    ] {
        let found = voiced(
            symbol,
            ELSEWHERE,
            &settings("rootless", colour, free_hand()),
        );
        assert!(!found.thinned);
        for voicing in &found.voicings {
            let rooted = degrees(voicing).split(' ').any(|degree| degree == "1");
            let name = if rooted { "block" } else { "rootless" };
            assert_eq!(voicing.shape_name(), name, "{symbol} {voicing}");
        }
    }
}

/// A dominant that falls a fifth to a minor chord has no natural 9, whatever its scale, unless its 13 or
/// the 9 itself is named.
#[test]
fn a_dominant_into_minor_bends_its_ninth() {
    for (root, scale) in ROOTS
        .into_iter()
        .flat_map(|root| Scale::ALL.map(|scale| (root, scale)))
    {
        let context = HarmonicContext {
            scale,
            ..INTO_MINOR
        };
        let offered = |suffix: &str| {
            let settings = settings("rootless", Natural, free_hand());
            usual(&voiced(&format!("{root}{suffix}"), context, &settings))
        };
        let has =
            |voicing: &String, wanted: &[&str]| voicing.split(' ').any(|d| wanted.contains(&d));
        let plain = offered("7");
        assert!(
            plain
                .iter()
                .all(|v| has(v, &["b9", "b13"]) && !has(v, &["9", "13"])),
            "{plain:?}"
        );
        assert!(offered("7b13").iter().all(|v| !has(v, &["9"])));
        assert!(offered("9").iter().all(|v| has(v, &["9"])));
        let thirteen = offered("13");
        assert!(thirteen.iter().all(|v| has(v, &["13"])), "{thirteen:?}");
    }
}

/// The natural 9 of a half-diminished chord is a colour to ask for: in most keys it is foreign to them.
#[test]
fn a_half_diminished_chord_takes_its_ninth_where_colours_are_altered() {
    for root in ROOTS {
        let offered = |colour| {
            let settings = settings("rootless", colour, free_hand());
            usual(&voiced(&format!("{root}m7b5"), ELSEWHERE, &settings))
        };
        let ninth = |voicings: &[String]| voicings.iter().any(|v| v == "b3 b5 b7 9");
        assert!(ninth(&offered(Altered)), "{root}");
        assert!(!ninth(&offered(Natural)), "{root}");
    }
}
