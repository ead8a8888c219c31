//! Every chart of `charts` and every example: voiced, checked, and printed as recorded.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

use compline::arrange::{Cache, Settings};
use compline::chart;
use compline::voicing::Colour;
use compline::write::{Style, grid, json, text};

use crate::checked::{complaints, voiced};
use crate::program::{project, run};

fn charts() -> BTreeMap<String, String> {
    files("charts", "chart")
        .into_iter()
        .map(|path| {
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            (name, fs::read_to_string(path).unwrap())
        })
        .collect()
}

fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = fs::read_dir(project().join(folder))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == ending))
        .collect();
    files.sort();
    files
}

#[test]
fn every_chart_prints_as_recorded() {
    for (name, source) in charts() {
        let arrangement = voiced(&name, &source, &Settings::default(), &mut Cache::default());
        insta::assert_snapshot!(format!("{name}-text"), text(&arrangement, true));
        insta::assert_snapshot!(format!("{name}-grid"), grid(&arrangement, &Style::default()));
    }
}

#[test]
fn every_chart_is_in_its_standard_layout() {
    let ran = run(project(), &["tidy", "--check", "charts"]);
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
}

#[test]
fn every_voicing_passes_the_independent_checker_in_every_colour() {
    for colour in Colour::ALL {
        let mut settings = Settings::default();
        settings.voicing.colour = colour;
        for (name, source) in charts() {
            let arrangement = voiced(&name, &source, &settings, &mut Cache::default());
            assert_eq!(complaints(&name, &arrangement), [""; 0]);
        }
    }
}

#[test]
fn voicing_what_was_voiced_changes_nothing() {
    for (name, source) in charts() {
        let once = voiced(&name, &source, &Settings::default(), &mut Cache::default());
        let written = text(&once, false);
        let again = voiced(&name, &written, &Settings::default(), &mut Cache::default());
        assert_eq!(text(&again, false), written, "{name}");
        assert_eq!(again.totals.cost, once.totals.cost, "{name}");
    }
}

#[test]
fn every_chart_moves_less_than_block_chords_in_root_position() {
    for (name, source) in charts() {
        let arrangement = voiced(&name, &source, &Settings::default(), &mut Cache::default());
        let plain = compline::arrange::Compare::of(&arrangement).block_root;
        let motion = arrangement.totals.cost.motion;
        assert!(motion < plain, "{name}: {motion} against {plain}");
    }
}

#[test]
fn transposing_there_and_back_is_the_same_chart() {
    for (name, source) in charts() {
        let chart = chart::read(&source).unwrap();
        let up = compline::pitch::Interval::new(2, compline::pitch::Semitones(3));
        let down = compline::pitch::Interval::new(-2, compline::pitch::Semitones(-3));
        let back = chart.transposed(up).unwrap().transposed(down).unwrap();
        assert_eq!(back.to_string(), chart.to_string(), "{name}");
    }
}

#[test]
fn the_json_of_every_chart_fits_the_schema() {
    let schema: serde_json::Value =
        serde_json::from_str(&run(project(), &["voice", "--schema"]).out).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let style = Style {
        candidates: true,
        compare: true,
        ..Style::default()
    };
    for (name, source) in charts() {
        let arrangement = voiced(&name, &source, &Settings::default(), &mut Cache::default());
        let written = serde_json::from_str(&json(&arrangement, &style)).unwrap();
        let errors: Vec<String> = validator
            .iter_errors(&written)
            .map(|error| error.to_string())
            .collect();
        assert_eq!(errors, [""; 0], "{name}");
    }
    assert!(!validator.is_valid(&serde_json::json!({"format": "compline-voiced"})));
}

#[allow(dead_code, reason = "an example's own main is not called here")]
#[path = "../../examples/one_symbol.rs"]
mod one_symbol;

#[allow(dead_code, reason = "an example's own main is not called here")]
#[path = "../../examples/price_list.rs"]
mod price_list;

#[allow(dead_code, reason = "an example's own main is not called here")]
#[path = "../../examples/two_five_one.rs"]
mod two_five_one;

#[test]
fn every_example_prints_as_recorded() {
    let reports = [
        ("one_symbol", one_symbol::report()),
        ("price_list", price_list::report()),
        ("two_five_one", two_five_one::report()),
    ];
    let names: Vec<String> = files("examples", "rs")
        .iter()
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    let run: Vec<&str> = reports.iter().map(|(name, _)| *name).collect();
    assert_eq!(names, run, "an example that no test runs");
    for (name, report) in reports {
        insta::assert_snapshot!(name, report);
    }
}
