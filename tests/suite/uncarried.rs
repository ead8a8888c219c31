//! What the chords of a chart can't carry of its tune: told by every command that holds the one
//! against the other, once a chord, and never about a chord that was put in.

use std::collections::BTreeSet;
use std::path::Path;

use compline::arrange::{Settings, uncarried};
use compline::chart::{self, Beats, Chart, Replacement};
use compline::reharm::{Listed, replaced};
use serde_json::Value;

use crate::data::{data, every};
use crate::folk;
use crate::program::{Ran, project, run, run_with};
use crate::reharm::listed_of;

const TUNE: &str =
    "key: C\n| Cmaj7 | G7 | Cmaj7 |\nmel | F5:2 Db5:2 | B5:1 C6:1 D6:2 | F5:2 Db5:2 |\n";
const TOLD: &str = "bars 1, 3, Cmaj7 can't carry the melody's F5 and Db5: the chord has no place for an 11 \
                    or a b9";

fn of_tune(arguments: &[&str]) -> Ran {
    run_with(Path::new("."), arguments, TUNE)
}

#[test]
fn every_command_tells_it_once() {
    for arguments in [
        &["voice", "-"][..],
        &["voice", "-", "--to", "json"],
        &["harmony", "-"],
        &["reharm", "-"],
        &["reharm", "-", "--changes", "0"],
    ] {
        let ran = of_tune(arguments);
        assert_eq!(ran.status, 0);
        assert_eq!(ran.err.matches("can't carry").count(), 1, "{arguments:?}");
        assert!(ran.err.contains(&format!("warning: <stdin>: {TOLD}\n")));
    }
}

#[test]
fn a_tune_that_is_ignored_is_not_held_against_the_chords() {
    for command in ["voice", "reharm", "check"] {
        let ran = of_tune(&[command, "-", "--ignore-melody"]);
        assert!(!ran.err.contains("can't carry"), "{command}");
    }
}

#[test]
fn what_is_left_out_under_such_a_note_is_told_with_the_cause() {
    let tune = "key: C\n| Cmaj7 | G7 |\nmel | G4:4 | F#4:3 r:1 |\n";
    let ran = run_with(Path::new("."), &["voice", "-"], tune);
    assert_eq!(ran.status, 0);
    let (left_out, cause) = (
        "bar 2, G7 is played without its b7: the melody's F#4 leaves no room for it",
        "bar 2, G7 can't carry the melody's F#4",
    );
    assert!(
        ran.err.contains(left_out) && ran.err.contains(cause),
        "{}",
        ran.err
    );
}

#[test]
fn a_chord_suspended_for_the_tune_is_read_back_as_that() {
    let tune = "key: C\n| Dm7 | G7 | Cmaj7 |\nmel | A4:4 | B4:4 | F4:4 |\n";
    let voiced = run_with(Path::new("."), &["voice", "-"], tune);
    assert!(voiced.out.contains("4.5.7.9"), "{}", voiced.out);
    let ran = run_with(Path::new("."), &["check", "-", "--to", "json"], &voiced.out);
    let found = ran.out.lines().map(|line| {
        let json: Value = serde_json::from_str(line).unwrap();
        json["rule"].as_str().unwrap().to_owned()
    });
    assert_eq!(found.collect::<Vec<_>>(), ["melody-at-odds"], "{}", ran.out);
}

#[test]
fn the_json_of_a_voiced_chart_has_it_among_its_warnings() {
    let ran = of_tune(&["voice", "-", "--to", "json"]);
    let json: Value = serde_json::from_str(&ran.out).unwrap();
    let warnings = json["warnings"].as_array().unwrap();
    assert_eq!(warnings.iter().filter(|one| **one == TOLD).count(), 1);
}

#[test]
fn check_finds_it_at_each_chord_and_fails_for_what_is_held() {
    let ran = of_tune(&["check", "-"]);
    assert_eq!(ran.status, 1);
    assert_eq!(
        ran.err.lines().last(),
        Some("2 findings in 1 of 1 chart: 2 warnings")
    );
    let leaning = TUNE.replace("F5:2 Db5:2", "F5:1 C5:3");
    let ran = run_with(Path::new("."), &["check", "-", "--to", "json"], &leaning);
    assert_eq!(ran.status, 0);
    let findings: Vec<Value> = ran
        .out
        .lines()
        .map(|l| serde_json::from_str(l).unwrap())
        .collect();
    let bars: Vec<_> = findings
        .iter()
        .map(|f| (&f["rule"], &f["severity"], &f["bar"]))
        .collect();
    let expected = |bar: u64| ("melody-at-odds".into(), "note".into(), bar.into());
    let [first, third]: [(Value, Value, Value); 2] = [expected(1), expected(3)];
    assert_eq!(
        bars,
        [
            (&first.0, &first.1, &first.2),
            (&third.0, &third.1, &third.2)
        ]
    );
}

#[test]
fn a_change_that_cures_it_takes_the_warning_away() {
    let tune = "key: C\n| Dm7 | G7 | Cmaj7 | G7 | C6 |\nmel | D5:4 | C5:4 | E5:4 | C5:4 | E5:4 |\n";
    let told = |arguments: &[&str]| {
        let ran = run_with(Path::new("."), arguments, tune);
        assert_eq!(ran.status, 0);
        ran.err
    };
    let why = "G7 can't carry the melody's C5: the chord has no place for an 11";
    let list = ["reharm", "-", "--ways", "sus-delay"];
    assert_eq!(told(&list), format!("warning: <stdin>: bars 2, 4, {why}\n"));
    let apply = |names: &str| told(&[&list[..], &["--apply", names]].concat());
    assert_eq!(
        apply("2:sus-delay"),
        format!("warning: <stdin>: bar 4, {why}\n")
    );
    assert_eq!(apply("2:sus-delay,4:sus-delay"), "");
}

#[test]
fn the_demo_charts_carry_their_tunes() {
    for command in ["voice", "harmony"] {
        let ran = run(project(), &[command, "charts"]);
        assert!(!ran.err.contains("can't carry"), "{}", ran.err);
    }
}

/// As many proposals as don't meet, first come first served, put into the chart.
fn filled(chart: &Chart) -> (Chart, Vec<Listed>) {
    let listed = listed_of(chart, &Settings::default());
    let all: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
    let (mut taken, mut end) = (Vec::new(), 0);
    for (at, one) in listed.iter().enumerate() {
        if one.slots.start >= end {
            (end, _) = (one.slots.end, taken.push(at));
        }
    }
    let page = replaced(chart, &all, &taken).unwrap();
    let put_in = listed
        .into_iter()
        .enumerate()
        .filter(|(at, _)| taken.contains(at));
    (page, put_in.map(|(_, one)| one).collect())
}

/// In the demo charts and the folk tunes, of which a sample is every twelfth.
#[test]
fn no_chord_that_was_put_in_is_ever_told_of() {
    let demo = std::fs::read_dir(project().join("charts")).unwrap();
    let demo = demo.map(|entry| std::fs::read_to_string(entry.unwrap().path()).unwrap());
    let folk = data("abc-nottingham").map(|data| every(12, folk::charts(&data)));
    let (mut new, mut told) = (0, 0);
    for text in demo.chain(folk.into_iter().flatten()) {
        let (page, put_in) = filled(&chart::read(&text).unwrap());
        let chords = put_in.iter().flat_map(|one| &one.proposal.chords);
        let places: BTreeSet<(usize, Beats)> = chords.map(|new| (new.bar, new.beat)).collect();
        let slots = page.slots();
        let found = uncarried(&page, false).unwrap();
        for at in found.iter().flat_map(|one| &one.slots) {
            let place = (slots[*at].bar, slots[*at].beat);
            assert!(!places.contains(&place), "{place:?} of\n{}", page.tidy());
            told += 1;
        }
        new += places.len();
    }
    println!("{new} chords put in; {told} of those left can't carry their tune");
    assert!(new > 100, "{new}");
}

/// Folk tunes are full of passing notes. What is left to tell is little, and what fails is less.
#[test]
fn folk_tunes_are_not_nagged_about_their_passing_notes() {
    let Some(data) = data("abc-nottingham") else {
        return;
    };
    let (mut tunes, mut notes, mut told, mut held) = (0, 0, 0, 0);
    for text in folk::charts(&data) {
        let chart = chart::read(&text).unwrap();
        notes += chart
            .slots()
            .iter()
            .map(|slot| slot.melody_notes.len())
            .sum::<usize>();
        let found = uncarried(&chart, false).unwrap();
        tunes += 1;
        told += found.iter().map(|one| one.slots.len()).sum::<usize>();
        held += usize::from(found.iter().any(|one| one.held));
    }
    println!("{tunes} tunes of {notes} notes: {told} chords told of, held notes in {held} tunes");
    // A beat on a strong place is held, so more is told than of notes that fill half a chord.
    assert!(told * 50 < notes && held * 6 < tunes);
}
