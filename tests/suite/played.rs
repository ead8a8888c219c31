//! `check --played`: a left hand from a sequencer held against the chart it was played to.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::program::{Ran, folder, project, run, run_with};

/// The demo charts, copied so that what is written beside them stays out of the project.
fn demo() -> tempfile::TempDir {
    let scratch = tempfile::tempdir().unwrap();
    for entry in fs::read_dir(project().join("charts")).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, scratch.path().join(path.file_name().unwrap())).unwrap();
    }
    scratch
}

fn midi(folder: &Path, chart: &str, more: &[&str]) {
    let base = ["voice", chart, "--to", "midi", "-o", "left.mid"];
    let ran = run(folder, &[&base, more].concat());
    assert!(ran.status < 2, "{}", ran.err);
}

fn check(folder: &Path, chart: &str, more: &[&str]) -> Ran {
    run(
        folder,
        &[&["check", chart, "--played", "left.mid"], more].concat(),
    )
}

#[test]
fn what_was_planned_is_sound_however_it_is_performed() {
    let scratch = demo();
    let mut charts: Vec<String> = fs::read_dir(scratch.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    charts.sort();
    assert!(charts.len() > 5);
    for chart in charts {
        // What the program says of the planned chart it says of the performance.
        let planned = run(scratch.path(), &["voice", &chart, "-o", "planned.chart"]);
        assert!(planned.status < 2);
        let settled = run(scratch.path(), &["check", "planned.chart", "--to", "json"]);
        for more in [
            &[][..],
            &["--swing"],
            &["--rhythm", "charleston", "--swing"],
            &["--rhythm", "off-beats"],
            &["--rhythm", "four-to-the-bar", "--bass", "roots"],
        ] {
            midi(scratch.path(), &chart, more);
            let ran = check(scratch.path(), &chart, &["--to", "json"]);
            assert_eq!(ran.status, settled.status, "{chart} {more:?}");
            assert_eq!(
                ran.out.lines().count(),
                settled.out.lines().count(),
                "{chart} {more:?}"
            );
        }
    }
}

const CHART: &str = "title: Ebb\nkey: C\n[A]\n|: Dm7 G7 | Cmaj7 :|\n[B]\n| Am7 |\n";

#[test]
fn findings_name_bar_and_beat() {
    let hand = "lh | F3.A3.C4.E4 F2.G2.B2 | E3.G3.B3.D4 |\n";
    let voiced = CHART.replace(":|\n", &format!(":|\n{hand}"));
    let scratch = folder(&[("ebb.chart", CHART), ("voiced.chart", &voiced)]);
    midi(scratch.path(), "voiced.chart", &[]);
    let ran = check(scratch.path(), "ebb.chart", &[]);
    assert_eq!(ran.status, 1);
    let place = "left.mid: bar 1, beat 3, G7";
    assert!(ran.out.contains(place), "{}", ran.out);
    assert!(!ran.out.contains("played bar"), "{}", ran.out);
}

#[test]
fn passes_that_differ_are_told_apart() {
    let played = "key: C\n| Dm7 G7 | Cmaj7 | Dm7 G7 | Cmaj7 | Am7 |\n\
        lh | F3.A3.C4.E4 F3.A3.B3.E4 | E3.G3.B3.D4 | F3.A3.C4.E4 F2.G2.B2 | E3.G3.B3.D4 | G3.B3.C4.E4 |\n";
    let scratch = folder(&[("ebb.chart", CHART), ("played.chart", played)]);
    midi(scratch.path(), "played.chart", &[]);
    let ran = check(scratch.path(), "ebb.chart", &[]);
    let place = "left.mid, played bar 3: bar 1, beat 3, G7";
    assert!(ran.out.contains(place), "{}", ran.out);
    let ran = check(scratch.path(), "ebb.chart", &["--to", "json"]);
    let found: Value = serde_json::from_str(ran.out.lines().nth(1).unwrap()).unwrap();
    assert_eq!(
        (
            &found["bar"],
            found["in_file"].as_str(),
            found["chart"].as_str()
        ),
        (&Value::from(1), Some("played bar 3"), Some("left.mid"))
    );
    let ran = check(scratch.path(), "ebb.chart", &["--to", "sarif"]);
    assert!(
        ran.out.contains("played bar 3: A, bar 1, beat 3, G7"),
        "{}",
        ran.out
    );
}

#[test]
fn what_has_no_place_is_told_and_tracks_are_named() {
    let scratch = folder(&[("ebb.chart", CHART), ("short.chart", "| Dm7 G7 |\n")]);
    midi(scratch.path(), "short.chart", &["--rhythm", "charleston"]);
    let ran = check(scratch.path(), "ebb.chart", &[]);
    assert!(
        ran.err.contains(
            "left.mid: 5 chords that the hand does not play: taken as silent (first: bar 2, beat 1)"
        ),
        "{}",
        ran.err
    );
    midi(scratch.path(), "ebb.chart", &[]);
    let ran = check(scratch.path(), "short.chart", &["--track", "Left hand"]);
    assert!(
        ran.err
            .contains("notes behind the end of the chart left out"),
        "{}",
        ran.err
    );
    let ran = check(scratch.path(), "short.chart", &["--track", "Tuba"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("there is no track `Tuba`"), "{}", ran.err);
}

#[test]
fn what_makes_no_sense_is_refused() {
    let scratch = folder(&[
        ("ebb.chart", CHART),
        ("other.chart", CHART),
        ("bad.mid", "MThd"),
    ]);
    midi(scratch.path(), "ebb.chart", &[]);
    for (arguments, said) in [
        (
            &["ebb.chart", "other.chart", "--played", "left.mid"][..],
            "name one",
        ),
        (&["-", "--played", "-"], "one file"),
        (
            &["ebb.chart", "--played", "left.mid", "--mend"],
            "cannot be used with",
        ),
        (&["ebb.chart", "--track", "1"], "--played"),
        (&["ebb.chart", "--played", "bad.mid"], "damaged"),
        (&["ebb.chart", "--played", "no.mid"], "no.mid"),
    ] {
        let ran = run(scratch.path(), &[&["check"], arguments].concat());
        assert_eq!(ran.status, 2, "{arguments:?}");
        assert!(ran.err.contains(said), "{arguments:?}: {}", ran.err);
    }
}

#[test]
fn the_chart_may_come_in_by_a_pipe() {
    let scratch = folder(&[("ebb.chart", CHART)]);
    midi(scratch.path(), "ebb.chart", &[]);
    let ran = run_with(
        scratch.path(),
        &["check", "-", "--played", "left.mid"],
        CHART,
    );
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
}

#[test]
fn known_findings_of_a_played_hand_fail_no_more() {
    let hand = "lh | F3.A3.C4.E4 F2.G2.B2 | E3.G3.B3.D4 |\n";
    let voiced = CHART.replace(":|\n", &format!(":|\n{hand}"));
    let scratch = folder(&[("ebb.chart", CHART), ("voiced.chart", &voiced)]);
    midi(scratch.path(), "voiced.chart", &[]);
    let found = check(scratch.path(), "ebb.chart", &["--to", "lines"]);
    assert_eq!(found.status, 1);
    let recorded = check(scratch.path(), "ebb.chart", &["--record", "known.json"]);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    let record = fs::read_to_string(scratch.path().join("known.json")).unwrap();
    let record: Value = serde_json::from_str(&record).unwrap();
    let on_record = record["findings"].as_array().unwrap();
    assert_eq!(on_record.len(), found.out.lines().count(), "{record}");
    let known = ["--known", "known.json"];
    let again = check(scratch.path(), "ebb.chart", &known);
    assert_eq!(again.status, 0, "{}{}", again.out, again.err);
    // What is played otherwise is new, and of what was known something is gone.
    let worse = voiced
        .replace("E3.G3.B3.D4", "C3.E3.G3.B3")
        .replace("F2.G2.B2", "F2.A2.B2");
    fs::write(scratch.path().join("voiced.chart"), worse).unwrap();
    midi(scratch.path(), "voiced.chart", &[]);
    let new = check(scratch.path(), "ebb.chart", &known);
    assert_eq!(new.status, 1, "{}{}", new.out, new.err);
    assert!(new.out.contains("G7"), "{}", new.out);
}
