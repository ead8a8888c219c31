//! Inputs that random trials found, with what must become of each: from a folder of real-world data.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use compline::arrange::{Cache, Settings, arrange};
use compline::chart::{self, Chart};
use compline::chord::Chord;

use crate::data::{data, every};
use crate::program::{folder, run};

/// The samples whose names begin so; none without the folder.
fn samples(kind: &str) -> Vec<(PathBuf, String)> {
    let Some(data) = data("found") else {
        return Vec::new();
    };
    let found = fs::read_dir(data).unwrap();
    let mut paths: Vec<PathBuf> = found.map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let of_kind = |path: &PathBuf| {
        let name = path.file_name().unwrap().to_str().unwrap();
        name.starts_with(kind) && !name.ends_with(".why")
    };
    let all: Vec<(PathBuf, String)> = paths
        .into_iter()
        .filter(of_kind)
        .map(|path| (path.clone(), fs::read_to_string(path).unwrap()))
        .collect();
    assert!(!all.is_empty(), "no sample of {kind}");
    all
}

/// What a chart is played as: its chords in the order they are heard.
fn heard(chart: &Chart) -> Result<Vec<String>, String> {
    let slots = chart.slots();
    let performance = chart
        .performance(&slots, false)
        .map_err(|why| format!("{why:?}"))?;
    let visits = performance.visits().iter();
    Ok(visits
        .map(|slot| slots[*slot].symbol.text().to_owned())
        .collect())
}

#[test]
fn the_standard_layout_means_what_the_chart_did() {
    for (path, text) in samples("chart-tidy_other_meaning") {
        let chart = chart::read(&text).unwrap();
        let again = chart::read(&chart.tidy()).unwrap();
        assert_eq!(heard(&again), heard(&chart), "{}", path.display());
        assert_eq!(again.tidy(), chart.tidy(), "{}", path.display());
    }
}

/// The names of everything that could be changed in `x.chart`.
fn names(folder: &Path) -> Vec<String> {
    let listed = run(folder, &["reharm", "x.chart", "--to", "json"]).out;
    let json: serde_json::Value = serde_json::from_str(&listed).unwrap();
    let all = json["proposals"].as_array().unwrap().iter();
    all.map(|one| one["name"].as_str().unwrap().to_owned())
        .collect()
}

/// By each change, in a sample by every sixteenth.
#[test]
fn a_changed_page_is_played_in_the_order_it_was() {
    for (path, text) in samples("chart-replaced_other_meaning") {
        let folder = folder(&[("x.chart", &text)]);
        let bars = |name: &str| {
            let form = run(folder.path(), &["form", name, "--to", "json"]);
            let json: serde_json::Value = serde_json::from_str(&form.out).unwrap();
            json["played"].clone()
        };
        let order = bars("x.chart");
        let names = names(folder.path());
        assert!(names.len() > 3, "{names:?}");
        let tidy = run(folder.path(), &["tidy", "x.chart"]);
        for number in every(16, names) {
            let page = run(folder.path(), &["reharm", "x.chart", "--apply", &number]);
            assert_eq!(page.status, 0, "{number}: {}", page.err);
            fs::write(folder.path().join("y.chart"), &page.out).unwrap();
            assert_eq!(
                bars("y.chart"),
                order,
                "{} {number}\n{}",
                path.display(),
                page.out
            );
            let undone = run(folder.path(), &["reharm", "y.chart", "--undo"]);
            assert_eq!(undone.out, tidy.out, "{} {number}", path.display());
        }
    }
}

#[test]
fn a_change_taken_back_keeps_a_comment_that_looks_like_the_programs() {
    for (path, text) in samples("chart-undo_differs") {
        let folder = folder(&[("x.chart", &text)]);
        let tidy = run(folder.path(), &["tidy", "x.chart"]).out;
        assert!(tidy.contains("; plan: motion 6 semitones 0"));
        for name in names(folder.path()) {
            let page = run(folder.path(), &["reharm", "x.chart", "--apply", &name]);
            assert_eq!(page.status, 0, "{}", page.err);
            fs::write(folder.path().join("y.chart"), &page.out).unwrap();
            let undone = run(folder.path(), &["reharm", "y.chart", "--undo"]).out;
            assert_eq!(undone, tidy, "{} {name}", path.display());
        }
    }
}

#[test]
fn control_characters_are_refused_at_their_place_and_never_printed() {
    for (path, text) in samples("chart-control_in") {
        let folder = folder(&[("x.chart", &text)]);
        for command in ["check", "voice", "tidy", "harmony"] {
            let ran = run(folder.path(), &[command, "x.chart"]);
            assert_eq!(ran.status, 2, "{}", path.display());
            let raw = |c: char| c.is_control() && c != '\n';
            assert!(
                !ran.out.contains(raw) && !ran.err.contains(raw),
                "{}",
                path.display()
            );
            assert!(ran.err.contains("U+0085"), "{}", ran.err);
        }
    }
}

#[test]
fn what_the_program_plans_it_calls_no_fault() {
    for (path, text) in samples("chart-own_plan") {
        // Its form feed is refused by now; the chart without it is what was planned.
        assert!(chart::read(&text).is_err());
        let text = text.replace(|c: char| c.is_control() && c != '\n', "");
        let folder = folder(&[("x.chart", &text)]);
        let options = [
            "--loop", "--colour", "altered", "--limits", "none", "--reach", "9",
        ];
        for more in [&options[..3], &options[..]] {
            for format in ["json", "text"] {
                let voice = [&["voice", "x.chart", "--to", format], more].concat();
                let voiced = run(folder.path(), &voice);
                assert_eq!(voiced.status, 0, "{}", voiced.err);
                let name = format!("y.{}", if format == "json" { "json" } else { "chart" });
                fs::write(folder.path().join(&name), &voiced.out).unwrap();
                let checked = run(
                    folder.path(),
                    &[&["check", &name, "--to", "lines"], more].concat(),
                );
                let faults = checked.out.lines().filter(|line| !line.contains(" note "));
                let about_melody = |line: &&str| line.contains("melody-at-odds");
                let faults: Vec<&str> = faults.filter(|line| !about_melody(line)).collect();
                assert_eq!(
                    faults,
                    [""; 0],
                    "{} {more:?}\n{}",
                    path.display(),
                    voiced.out
                );
            }
        }
    }
}

/// Whether the program ends within so many seconds of its own: what else the machine does doesn't count.
#[cfg(unix)]
fn ends_within(seconds: u32, folder: &Path, arguments: &[&str]) -> bool {
    let limited = format!("ulimit -t {seconds} && exec \"$0\" \"$@\"");
    let mut command = Command::new("bash");
    command.args(["-c", &limited, env!("CARGO_BIN_EXE_compline")]);
    let output = command.args(arguments).current_dir(folder).output();
    // A signal ends what takes longer, and then there is no code.
    output.unwrap().status.code().is_some_and(|code| code <= 2)
}

#[test]
#[cfg(unix)]
fn what_took_seconds_takes_none() {
    for (path, text) in samples("chart-slow") {
        let folder = folder(&[("x.chart", &text)]);
        for command in [
            &["voice", "x.chart"][..],
            &["reharm", "x.chart", "--changes", "8"],
        ] {
            // A second is promised of the optimised program, and `COMPLINE_WHOLE=1 .ci/run` holds it to two.
            // This build is twelve times as slow (8.0 s against 0.69).
            let ended = ends_within(30, folder.path(), command);
            assert!(ended, "{} {command:?}", path.display());
        }
    }
}

#[test]
fn a_symbol_is_the_same_alone_and_in_a_chart_and_its_voicing_is_read_again() {
    for (path, text) in samples("chord-") {
        let symbol = text.trim();
        let alone = Chord::read(symbol).unwrap();
        let page = chart::read(&format!("| {symbol} |")).unwrap();
        let slots = page.slots();
        assert_eq!(slots[0].symbol.chord(), Some(&alone), "{}", path.display());
        let arrangement = arrange(page, &Settings::default(), &mut Cache::default()).unwrap();
        let voicing = arrangement.slots[0].voicing.as_ref().unwrap();
        let keys: Vec<_> = voicing.pitches().collect();
        assert!(
            keys.is_sorted_by(|low, high| low < high),
            "one key is one tone: {voicing}"
        );
        let folder = folder(&[("x.chart", &format!("| {symbol} |\n"))]);
        let voiced = run(folder.path(), &["voice", "x.chart"]).out;
        fs::write(folder.path().join("y.chart"), &voiced).unwrap();
        assert_eq!(
            run(folder.path(), &["voice", "y.chart"]).out,
            voiced,
            "{}",
            path.display()
        );
    }
}
