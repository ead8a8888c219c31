//! Each rule at work: what it holds, what it keeps out, and the nearest that it lets through.

use std::collections::BTreeSet;

use super::{AskedPlaces, HeldBy};
use crate::arrange::Settings;
use crate::chart::read;
use crate::reharm::{Proposed, Ways, reharm};

fn proposed(rows: &str, asked: &AskedPlaces) -> Proposed {
    let chart = read(&format!("key: C\n{rows}")).unwrap();
    reharm(&chart, &Settings::default(), &Ways::default(), asked).unwrap()
}

/// The slots that are held so.
fn held(rows: &str, by: HeldBy) -> Vec<usize> {
    let found = proposed(rows, &AskedPlaces::default());
    let slots = 0..read(rows).unwrap().slots().len();
    slots
        .filter(|slot| found.held.at(*slot).contains(&by))
        .collect()
}

/// What keeps a proposal out; nothing where it is listed.
fn kept_out(rows: &str, name: &str) -> Vec<HeldBy> {
    let found = proposed(rows, &AskedPlaces::default());
    if found.listed.iter().any(|one| one.name.to_string() == name) {
        return Vec::new();
    }
    let mut kept_out = found.kept_out.iter();
    let one = kept_out.find(|one| one.name.to_string() == name);
    let names = || found.listed.iter().map(|one| one.name.to_string());
    let one = one.unwrap_or_else(|| panic!("no {name}: {:?}", names().collect::<Vec<_>>()));
    one.holds.iter().copied().collect()
}

const TUNE: &str = "| C6 | Am7 | Dm7 | G7 | C6 | Am7 | Dm7 G7 | C6 |";

#[test]
fn the_tune_opens_as_it_is() {
    assert_eq!(held(TUNE, HeldBy::First), [0]);
    assert_eq!(
        kept_out("| C6 | Am7 | F6 | C6 |", "1:diatonic"),
        [HeldBy::First]
    );
    assert_eq!(
        kept_out("| C6 | Dm7 | F6 | C6 |", "1:passing-diminished"),
        []
    );
}

#[test]
fn the_tune_ends_as_it_is() {
    assert_eq!(held(TUNE, HeldBy::LastTonic), [8]);
    let left = kept_out("| C6 | Am7 | Dm7 G7 | C6 |", "4:deceptive");
    assert_eq!(left, [HeldBy::LastTonic, HeldBy::Arrival]);
    assert_eq!(
        kept_out("| C6 | Am7 | Dm7 G7 | C6 |", "4:auxiliary-diminished"),
        []
    );
    // Played round and round it is left again.
    assert_eq!(held("| F6 | G7 | Am7 | Dm7 |", HeldBy::LastTonic), [0; 0]);
}

/// Three chords on one root are a line to its last chord, two only where the bass moves; a change of the third
/// ends it.
#[test]
fn what_moves_over_one_root_is_kept() {
    let line = |rows: &str| [held(rows, HeldBy::Line), held(rows, HeldBy::LineEnd)].concat();
    for (rows, wanted) in [
        ("| F6 | C | C | C | F6 | G7 | C6 |", &[][..]),
        ("| F6 | C | Cmaj7 | F6 | F6 | G7 | C6 |", &[]),
        ("| F6 | C | C/B | F6 | F6 | G7 | C6 |", &[1, 2]),
        ("| F6 | C | Cmaj7 | C7 | F6 | G7 | C6 |", &[1, 2, 3]),
        ("| F6 | C | Cmaj7 | Cm7 | F6 | G7 | C6 |", &[]),
        ("| F6 | C | Cmaj7 | C7 | C6 | G7 | C6 |", &[1, 2, 3, 4]),
    ] {
        assert_eq!(line(rows), wanted, "{rows}");
    }
}

#[test]
fn a_phrase_arrives() {
    assert_eq!(held(TUNE, HeldBy::Arrival), [8]);
    assert_eq!(
        held(
            "| C6 | Dm7 | G7 | C6 | F6 | F6 | Dm7 G7 | C6 |",
            HeldBy::Arrival
        ),
        [3, 8]
    );
    // A cadence into the beginning of the next phrase is none of this one's end.
    assert_eq!(
        held(
            "| C6 | Am7 | Dm7 | G7 | C6 | F6 | D7 | D7 |",
            HeldBy::Arrival
        ),
        [4]
    );
    let phrase = "| C6 | Dm7 | G7 | C6 | F6 | F6 | Dm7 G7 | C6 |";
    assert_eq!(kept_out(phrase, "4:deceptive"), [HeldBy::Arrival]);
    assert_eq!(kept_out(phrase, "4:displacement"), []);
    assert_eq!(kept_out(phrase, "4:auxiliary-diminished"), []);
}

#[test]
fn a_dominant_leads_there() {
    let phrase = "| C6 | Dm7 | G7 | C6 | F6 | F6 | Dm7 G7 | C6 |";
    assert_eq!(held(phrase, HeldBy::Dominant), [2, 7]);
    assert_eq!(kept_out(phrase, "3:borrowed"), [HeldBy::Dominant]);
    for led in [
        "3:tritone",
        "3:backdoor",
        "3:diatonic",
        "2-3:backdoor",
        "3:hybrid",
        "3:sus-delay.2",
    ] {
        assert_eq!(kept_out(phrase, led), [], "{led}");
    }
}

#[test]
fn lines_walking_basses_and_pedals_stay() {
    let line = "| Am7 | Dm | Dm(maj7) | Dm7 | Dm6 | G7 | C6 |";
    assert_eq!(held(line, HeldBy::Line), [1, 2, 3]);
    assert_eq!(held(line, HeldBy::LineEnd), [4]);
    assert_eq!(held("| F6 | C | C/E | F6 |", HeldBy::Line), [1]);
    assert_eq!(held("| F6 | Cmaj7 | C6 | F6 |", HeldBy::Line), [0; 0]);
    let walk = "| F6 | C G/B | Am7 C/G | F6 | G7 | C6 |";
    assert_eq!(held(walk, HeldBy::WalkingBass), [1, 2, 3, 4, 5]);
    assert_eq!(
        held("| F6 | C G/B | Dm7 C/G | F6 |", HeldBy::WalkingBass),
        [0; 0]
    );
    assert_eq!(held("| Dm7 | Em7 | F6 | G7 |", HeldBy::WalkingBass), [0; 0]);
    let pedal = "| Am7 | C | F/C | G/C | C | Am7 |";
    assert_eq!(held(pedal, HeldBy::Pedal), [1, 2, 3, 4]);
    assert_eq!(
        held("| Am7 | G7sus | F/G | G7 | C |", HeldBy::Pedal),
        [1, 2, 3]
    );
    assert_eq!(held("| Am7 | F/G | G7 | C |", HeldBy::Pedal), [0; 0]);
    assert_eq!(
        kept_out("| C | F6 | C G/B | Am7 C/G | F6 |", "4.1:diatonic"),
        [HeldBy::WalkingBass]
    );
}

#[test]
fn a_sign_in_the_chart_holds_and_what_is_asked_for_holds_and_frees() {
    let marked = "| C6 | Am7! | Dm7 | G7 | C6 |";
    assert_eq!(kept_out(marked, "2:secondary-dominant"), [HeldBy::Marked]);
    assert_eq!(
        kept_out("| C6 | Am7 | Dm7 | G7 | C6 |", "2:secondary-dominant"),
        []
    );
    let names = |asked: &AskedPlaces| -> BTreeSet<String> {
        let found = proposed(marked, asked);
        found
            .listed
            .iter()
            .map(|one| one.name.to_string())
            .collect()
    };
    let asked = AskedPlaces {
        hold: BTreeSet::from([3]),
        free: BTreeSet::from([1]),
    };
    assert!(names(&asked).contains("2:secondary-dominant"));
    assert!(!names(&asked).contains("4:tritone"));
    assert!(names(&AskedPlaces::default()).contains("4:tritone"));
}

/// The bass that a six-four brings stays under its dominant.
#[test]
fn the_bass_of_a_six_four_stays() {
    let page = "| C6 | F6 | C/G G7 | C6 | Am7 | C6 |";
    assert_eq!(held(page, HeldBy::SixFour), [2, 3]);
    assert_eq!(kept_out(page, "3.2:related-ii"), [HeldBy::SixFour]);
    assert_eq!(kept_out(page, "3.1:secondary-dominant"), [HeldBy::SixFour]);
    assert_eq!(kept_out(page, "3.2:tritone"), [HeldBy::SixFour]);
    assert_eq!(kept_out(page, "3.2:sus-delay"), []);
    for free in [
        "| C6 | F6 | C/E G7 | C6 | Am7 | C6 |",
        "| C6 | F6 | C G7 | C6 | Am7 | C6 |",
    ] {
        assert_eq!(held(free, HeldBy::SixFour), [0; 0], "{free}");
        assert_eq!(kept_out(free, "3.2:related-ii"), [], "{free}");
    }
}
