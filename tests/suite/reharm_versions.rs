//! `reharm --versions` from outside: written, compared, voiced and checked; and the example of it.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use compline::chart;
use serde_json::Value;

use crate::data::{data, every};
use crate::folk;
use crate::program::{Ran, folder, project, run, run_with};

const TUNE: &str = "title: Bollard\nkey: C\n[A]\n|: C | Am7 | Dm7 | G7 |\nmel | E5:2 G4:2 | C5:2 E5:2 | A4:2 D5:2 | B4:4 |\n| C | F | G7 | C :|\nmel | G4:2 E4:2 | A4:2 F4:2 | B4:2 D5:2 | C5:4 |\n";

fn reharm(arguments: &[&str]) -> Ran {
    run_with(
        Path::new("."),
        &[&["reharm", "-"], arguments].concat(),
        TUNE,
    )
}

/// Two changes on weights of their own, as JSON.
const WEIGHED: [&str; 6] = [
    "--changes",
    "2",
    "--weigh",
    "strain=0,leads-on=40",
    "--to",
    "json",
];

/// Voices every chart of a folder and checks what comes of it. No finding is about any voicing but the one
/// that a chart gives itself, where one does: its file's beginning, and how its place is told.
fn voiced_and_checked(charts: &Path, given: Option<(&str, &str)>) {
    let voiced = folder(&[]);
    let to = voiced.path().to_str().unwrap();
    let ran = run(charts, &["voice", ".", "-o", to, "-q"]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    let ran = run(voiced.path(), &["check", "."]);
    assert_eq!(ran.status, 0, "{}", ran.out);
    let Some((file, place)) = given else {
        assert_eq!(ran.out, "");
        return;
    };
    for line in ran.out.lines() {
        assert!(!line.contains("-->") || line.contains(file), "{}", ran.out);
        assert!(!line.contains("^^") || line.ends_with(place), "{}", ran.out);
    }
}

/// The charts of a folder that have findings once they are voiced as they are.
fn at_odds(charts: &Path) -> BTreeSet<String> {
    let voiced = folder(&[]);
    let to = voiced.path().to_str().unwrap();
    run(charts, &["voice", ".", "-o", to, "-q"]);
    let found = run(voiced.path(), &["check", "."]).out;
    let places = found
        .lines()
        .filter_map(|line| line.trim_start().strip_prefix("--> ./"));
    let names = places.filter_map(|place| place.split(':').next());
    names.map(str::to_owned).collect()
}

#[test]
fn versions_of_every_demo_chart_are_voiced_and_checked_without_a_finding() {
    let written = folder(&[]);
    let to = written.path().to_str().unwrap();
    let ran = run(
        project(),
        &["reharm", "charts", "--versions", "3", "-o", to],
    );
    assert_eq!(ran.status, 0, "{}", ran.err);
    let charts = fs::read_dir(project().join("charts")).unwrap().count();
    let made = fs::read_dir(written.path()).unwrap().count();
    assert!(made > 2 * charts, "{made} versions of {charts} charts");
    // The last voicing of this chart is given, whatever leads there.
    let given = ("every-knot-in-the-rope-", "bar 26, beat 1, F6/9");
    voiced_and_checked(written.path(), Some(given));
}

/// Every fortieth tune, in a sample every sixth of those.
#[test]
fn versions_of_folk_tunes_are_voiced_and_checked_without_a_finding() {
    let Some(data) = data("abc-nottingham") else {
        return;
    };
    let tunes = folk::charts(&data);
    let tunes = tunes.iter().step_by(40);
    let tunes: Vec<(String, &String)> = every(6, tunes)
        .enumerate()
        .map(|(at, tune)| (format!("{at}.chart"), tune))
        .collect();
    let files: Vec<(&str, &str)> = tunes
        .iter()
        .map(|(name, tune)| (name.as_str(), tune.as_str()))
        .collect();
    let (plain, written) = (folder(&files), folder(&[]));
    // A tune whose own chords don't carry its melody has that finding in every version.
    for name in at_odds(plain.path()) {
        fs::remove_file(plain.path().join(name)).unwrap();
    }
    let to = written.path().to_str().unwrap();
    // A tune for which nothing can be proposed has no versions; the others are made all the same.
    let ran = run(
        plain.path(),
        &["reharm", ".", "--versions", "3", "-o", to, "-q"],
    );
    assert!(matches!(ran.status, 0 | 1), "{}", ran.err);
    let made = fs::read_dir(written.path()).unwrap().count();
    assert!(
        made > tunes.len(),
        "{made} versions of {} tunes",
        tunes.len()
    );
    voiced_and_checked(written.path(), None);
}

#[test]
fn versions_stand_beside_the_page_as_written() {
    let ran = reharm(&["--versions", "3"]);
    assert_eq!(ran.status, 0);
    let lines: Vec<&str> = ran.out.lines().collect();
    assert_eq!(lines[0], "Bollard");
    assert!(
        lines[1].starts_with("bar  as written")
            && lines[1].contains("1 gentle")
            && lines[1].contains("3 bold")
    );
    assert!(lines[3].starts_with("  1  C "), "{}", ran.out);
    assert!(
        lines.iter().all(|line| line.chars().count() <= 80),
        "{}",
        ran.out
    );
    assert_eq!(ran.out.matches("proved best").count(), 3, "{}", ran.out);
    let narrow = reharm(&["--versions", "3", "--width", "48"]);
    let bars = narrow.out.lines().take_while(|line| !line.is_empty());
    assert!(
        bars.clone().all(|line| line.chars().count() <= 48),
        "{}",
        narrow.out
    );
}

#[test]
fn one_of_them_goes_down_a_pipe() {
    let taken = reharm(&["--versions", "3", "--take", "2"]);
    let page = chart::read(&taken.out).unwrap();
    assert_eq!(page.before().tidy(), chart::read(TUNE).unwrap().tidy());
    let json = reharm(&["--versions", "3", "--to", "json"]);
    let json: Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!(json["versions"][1]["page"], taken.out);
    let voiced = run_with(Path::new("."), &["voice", "-"], &taken.out);
    assert_eq!(
        run_with(Path::new("."), &["check", "-"], &voiced.out).status,
        0
    );
    let wrong = reharm(&["--versions", "2", "--take", "3"]);
    assert_eq!(wrong.status, 2);
    assert!(
        wrong.err.contains("--take 3: only 2 are asked for"),
        "{}",
        wrong.err
    );
}

#[test]
fn the_json_holds_to_its_schema_and_weights_change_it() {
    let schema = run(Path::new("."), &["reharm", "--schema"]);
    let schema: Value = serde_json::from_str(&schema.out).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let usual = reharm(&["--versions", "2", "--to", "json"]);
    let json: Value = serde_json::from_str(&usual.out).unwrap();
    assert!(validator.is_valid(&json), "{json}");
    assert_eq!(json["format"], "compline-versions");
    let weighed = reharm(&WEIGHED);
    let json: Value = serde_json::from_str(&weighed.out).unwrap();
    assert!(validator.is_valid(&json), "{json}");
    let row = &json["rows"][2];
    let score = row["effort"].as_i64().unwrap() - 40 * row["leads_on"].as_i64().unwrap();
    assert_eq!(row["score"], score);
    let wrong = reharm(&["--changes", "2", "--weigh", "price=1"]);
    assert_eq!(wrong.status, 2);
    assert!(
        wrong
            .err
            .contains("there is no weight `price`: strain, leads-on, of-a-kind")
    );
}

#[test]
fn settings_have_the_weights_too() {
    let with = |weights: &str| {
        let folder = folder(&[("compline.toml", weights), ("bollard.chart", TUNE)]);
        run(
            folder.path(),
            &["reharm", "bollard.chart", "--changes", "2", "--to", "json"],
        )
    };
    let set = with("[reharm]\nstrain = 0\nleads-on = 40\n");
    let typed = reharm(&WEIGHED);
    assert_eq!(set.out, typed.out.replace("<stdin>", "bollard.chart"));
    let wrong = with("[reharm]\nstrian = 0\n");
    assert_eq!(wrong.status, 2);
    assert!(
        wrong.err.contains("there is no weight `strian`")
            && wrong.err.contains("did you mean `strain`?"),
        "{}",
        wrong.err
    );
}

#[test]
fn a_page_that_varies_is_written_out() {
    let ran = reharm(&["--vary", "--changes", "3"]);
    let page = chart::read(&ran.out).unwrap();
    assert_eq!(page.bars().count(), 16);
    assert!(!ran.out.contains(":|"), "{}", ran.out);
    let alike = reharm(&["--changes", "3"]);
    assert_eq!(chart::read(&alike.out).unwrap().bars().count(), 8);
}

/// Where the example is.
fn example() -> PathBuf {
    project().join("examples/three-versions")
}

/// The comparison and the three charts of the example, made anew; `COMPLINE_EXAMPLES=write` writes them.
#[test]
fn the_example_is_what_the_program_makes() {
    let made = folder(&[]);
    let to = made.path().to_str().unwrap();
    let asked = ["the-slipway-air.chart", "--versions", "3", "--changes", "6"];
    let ran = run(&example(), &[&["reharm"][..], &asked, &["-o", to]].concat());
    assert_eq!(ran.status, 0, "{}", ran.err);
    fs::write(made.path().join("comparison.txt"), &ran.out).unwrap();
    let written = std::env::var_os("COMPLINE_EXAMPLES").is_some_and(|value| value == "write");
    for name in [
        "comparison.txt",
        "the-slipway-air-1.chart",
        "the-slipway-air-2.chart",
        "the-slipway-air-3.chart",
    ] {
        let text = fs::read_to_string(made.path().join(name)).unwrap();
        if written {
            fs::write(example().join(name), &text).unwrap();
        }
        assert_eq!(
            fs::read_to_string(example().join(name)).unwrap(),
            text,
            "{name}"
        );
    }
    let files = fs::read_dir(example()).unwrap().count();
    assert_eq!(files, 5, "a file of the example that no test looks at");
    fs::remove_file(made.path().join("comparison.txt")).unwrap();
    voiced_and_checked(made.path(), None);
}
