//! Every chart of `charts` and every example: voiced, checked, and printed as recorded.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

use compline::arrange::{Cache, Settings};
use compline::chart;
use compline::formats::{Style, grid, json, text};
use compline::voicing::Colour;

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
    let compare = Style {
        compare: true,
        ..Style::default()
    };
    for (name, source) in charts() {
        let arrangement = voiced(&name, &source, &Settings::default(), &mut Cache::default());
        insta::assert_snapshot!(format!("{name}-text"), text(&arrangement, &compare));
        insta::assert_snapshot!(
            format!("{name}-grid"),
            grid(&arrangement, &Style::default())
        );
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
        let written = text(&once, &Style::default());
        let again = voiced(&name, &written, &Settings::default(), &mut Cache::default());
        assert_eq!(text(&again, &Style::default()), written, "{name}");
        assert_eq!(again.totals.cost, once.totals.cost, "{name}");
    }
}

#[test]
fn the_set_moves_less_than_half_as_far_as_in_root_position() {
    // Not so for each chart: where a modal tune slides as a whole, root position slides as far.
    let (mut planned, mut plain) = (0, 0);
    for (name, source) in charts() {
        let arrangement = voiced(&name, &source, &Settings::default(), &mut Cache::default());
        planned += arrangement.totals.cost.effort;
        plain += compline::arrange::Compare::of(&arrangement).block_root;
    }
    assert!(planned * 2 < plain, "{planned} against {plain}");
}

#[test]
fn transposing_there_and_back_is_the_same_chart() {
    for (name, source) in charts() {
        let chart = chart::read(&source).unwrap();
        let up = compline::pitch::Interval::new(1, compline::pitch::Semitones(2));
        let down = compline::pitch::Interval::new(-1, compline::pitch::Semitones(-2));
        let back = chart.transposed(up).unwrap().transposed(down).unwrap();
        // By sound: a name may come back as its everyday other.
        let sounds = |chart: &chart::Chart| -> Vec<_> {
            let slots = chart.slots().into_iter();
            slots
                .map(|slot| {
                    let chord = slot.symbol.chord();
                    let tones = chord.map(|c| (c.root().class(), c.tones().to_vec()));
                    (tones, slot.melody)
                })
                .collect()
        };
        assert_eq!(sounds(&back), sounds(&chart), "{name}");
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
        grounding: true,
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
