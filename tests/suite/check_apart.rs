//! `check` as a shell, a songbook's keeper and a code host use it: lines, records of a part, fixes applied
//! from the log, suppressions in JSON, folders within folders.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::program::{Ran, folder, run, run_with};

const MUDDY: &str =
    "     | Em7           | Am7           |\nlh   | D3.E3.G3      | G3.B3.C4.E4   |\n";
const WIDE: &str = "     | Fmaj7 | Fmaj7 |\nlh   | A3.E5 | A3.E5 |\n";

fn check(folder: &Path, arguments: &[&str]) -> Ran {
    let all: Vec<&str> = ["check"]
        .into_iter()
        .chain(arguments.iter().copied())
        .collect();
    run(folder, &all)
}

#[test]
fn a_finding_is_one_line_as_compilers_write_them() {
    let folder = folder(&[("a.chart", MUDDY), ("::b.chart", MUDDY)]);
    let ran = check(folder.path(), &["--to", "lines", "-q", "a.chart"]);
    let told =
        "a.chart:2:8: warning muddy: M2 on D3 is muddy: not below Eb3 (bar 1, beat 1, Em7)\n";
    assert_eq!(
        (ran.status, ran.out.as_str(), ran.err.as_str()),
        (1, told, "")
    );
    let ran = check(folder.path(), &["--to", "lines", "::b.chart"]);
    assert!(ran.out.lines().all(|line| !line.starts_with("::")));
}

#[test]
fn the_caution_is_told_once_a_run() {
    let folder = folder(&[("a.chart", WIDE), ("b.chart", WIDE)]);
    for format in ["text", "lines"] {
        let ran = check(folder.path(), &["a.chart", "b.chart", "--to", format]);
        let told = format!("{}{}", ran.out, ran.err);
        assert_eq!(told.matches("Wide stretches can hurt").count(), 1, "{told}");
    }
}

#[test]
fn the_same_chart_named_twice_is_one() {
    let folder = folder(&[("songs/a.chart", MUDDY)]);
    let names = [
        "songs",
        "songs/a.chart",
        "./songs/a.chart",
        "songs/../songs/a.chart",
    ];
    let ran = check(folder.path(), &[&names[..], &["--to", "lines"]].concat());
    assert_eq!(ran.out.lines().count(), 1);
}

#[test]
fn a_folder_within_a_folder_takes_what_that_says() {
    let settings = "[folder.\"b\"]\nrules.muddy = \"error\"\n[folder.\"b/c\"]\nleap = 9\n";
    let folder = folder(&[("compline.toml", settings), ("b/c/a.chart", MUDDY)]);
    let ran = check(folder.path(), &["b/c/a.chart", "--to", "lines"]);
    assert!(ran.out.contains(": error muddy: "), "{}", ran.out);
}

#[test]
fn a_part_of_the_songbook_is_recorded_and_the_rest_kept() {
    let folder = folder(&[("a.chart", MUDDY), ("b.chart", MUDDY), ("c.chart", MUDDY)]);
    let record = |charts: &[&str]| {
        let ran = check(
            folder.path(),
            &[charts, &["--record", "known.json"]].concat(),
        );
        assert_eq!(ran.status, 0, "{}", ran.err);
        let text = fs::read_to_string(folder.path().join("known.json")).unwrap();
        let json: Value = serde_json::from_str(&text).unwrap();
        let charts = json["findings"].as_array().unwrap().iter();
        charts
            .map(|f| f["chart"].as_str().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    assert_eq!(record(&["."]), ["a.chart", "b.chart", "c.chart"]);
    let mended = MUDDY.replace("D3.E3.G3", "G3.B3.D4.F#4");
    fs::write(folder.path().join("b.chart"), &mended).unwrap();
    assert_eq!(record(&["b.chart"]), ["a.chart", "c.chart"]);
    fs::remove_file(folder.path().join("c.chart")).unwrap();
    assert_eq!(
        record(&["b.chart"]),
        ["a.chart"],
        "what is gone is not kept"
    );
    fs::write(folder.path().join("notes.txt"), "not a record").unwrap();
    let ran = check(folder.path(), &["a.chart", "--record", "notes.txt"]);
    assert_eq!(ran.status, 2, "no other file is written over");
    assert_eq!(
        fs::read_to_string(folder.path().join("notes.txt")).unwrap(),
        "not a record"
    );
}

#[test]
fn known_findings_are_mended_only_when_told() {
    let folder = folder(&[("a.chart", MUDDY)]);
    check(folder.path(), &["a.chart", "--record", "known.json"]);
    let mend = |more: &[&str]| {
        let arguments = ["a.chart", "--known", "known.json", "--mend", "-o", "-"];
        check(folder.path(), &[&arguments, more].concat()).out
    };
    assert_eq!(mend(&[]), MUDDY);
    assert!(!mend(&["--all"]).contains("D3.E3.G3"));
}

#[test]
fn what_is_waived_in_a_chart_is_waived_in_its_json() {
    let chart = "     | Em7      | Am7         |  ; waive muddy in bar 1: low on purpose\n\
                 lh   | D3.E3.G3 | G3.B3.C4.E4 |\n";
    let folder = folder(&[("a.chart", chart)]);
    let json = run(folder.path(), &["voice", "a.chart", "--to", "json"]).out;
    let object: Value = serde_json::from_str(&json).unwrap();
    assert_eq!(
        object["waivers"],
        serde_json::json!(["waive muddy in bar 1: low on purpose"])
    );
    let ran = run_with(folder.path(), &["check", "-", "--to", "json"], &json);
    let finding: Value = serde_json::from_str(ran.out.trim()).unwrap();
    assert_eq!(
        (ran.status, &finding["waived"]),
        (0, &"low on purpose".into())
    );
    let bare = run_with(folder.path(), &["voice", "-", "--to", "json"], MUDDY).out;
    assert!(bare.contains("\"slots\"") && !bare.contains("waivers"));
}

/// Every fix of a log done, as an editor does it: the regions replaced from the last to the first.
fn applied(source: &str, results: &[Value]) -> String {
    let mut edits: Vec<(usize, usize, usize, String)> = Vec::new();
    for result in results {
        for fix in result["fixes"].as_array().into_iter().flatten() {
            for change in fix["artifactChanges"].as_array().unwrap() {
                for replacement in change["replacements"].as_array().unwrap() {
                    let region = &replacement["deletedRegion"];
                    let number =
                        |name: &str| usize::try_from(region[name].as_u64().unwrap()).unwrap();
                    assert_eq!(number("startLine"), number("endLine"));
                    let text = replacement["insertedContent"]["text"].as_str().unwrap();
                    let edit = (
                        number("startLine"),
                        number("startColumn"),
                        number("endColumn"),
                        text.to_owned(),
                    );
                    if !edits.contains(&edit) {
                        edits.push(edit);
                    }
                }
            }
        }
    }
    edits.sort();
    for pair in edits.windows(2) {
        let apart = pair[0].0 < pair[1].0 || pair[0].2 <= pair[1].1;
        assert!(apart, "two fixes contradict: {pair:?}");
    }
    let mut lines: Vec<Vec<char>> = source
        .split('\n')
        .map(|line| line.chars().collect())
        .collect();
    for (line, start, end, text) in edits.into_iter().rev() {
        lines[line - 1].splice(start - 1..end - 1, text.chars());
    }
    let lines: Vec<String> = lines
        .into_iter()
        .map(|line| line.into_iter().collect())
        .collect();
    lines.join("\n")
}

#[test]
fn all_fixes_of_a_log_applied_leave_nothing_to_fix() {
    let faulty = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/suite/faulty");
    for entry in fs::read_dir(faulty).unwrap() {
        let path = entry.unwrap().path();
        let source = fs::read_to_string(&path).unwrap();
        let folder = folder(&[("a.chart", &source)]);
        let log = |text: &str| -> Vec<Value> {
            fs::write(folder.path().join("a.chart"), text).unwrap();
            let ran = check(folder.path(), &["a.chart", "--to", "sarif", "--leap", "19"]);
            let log: Value = serde_json::from_str(&ran.out).unwrap();
            log["runs"][0]["results"].as_array().unwrap().clone()
        };
        let mut text = source.clone();
        let first = log(&text);
        text = applied(&text, &first);
        let left: Vec<String> = log(&text)
            .iter()
            .filter(|result| result.get("fixes").is_some())
            .map(|result| result["message"]["text"].to_string())
            .collect();
        assert_eq!(left, [""; 0], "{}\n{text}", path.display());
    }
}

#[test]
fn every_result_of_a_log_has_a_region_and_a_fingerprint_of_its_own() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let ran = check(root, &["tests/suite/faulty", "--to", "sarif"]);
    let log: Value = serde_json::from_str(&ran.out).unwrap();
    let run = &log["runs"][0];
    assert!(run["tool"]["driver"]["informationUri"].is_string());
    for rule in run["tool"]["driver"]["rules"].as_array().unwrap() {
        let name = rule["name"].as_str().unwrap();
        assert!(name.starts_with(char::is_uppercase) && name.chars().all(char::is_alphanumeric));
        assert!(
            rule["helpUri"]
                .as_str()
                .unwrap()
                .ends_with(rule["id"].as_str().unwrap())
        );
    }
    let mut seen = std::collections::BTreeSet::new();
    for result in run["results"].as_array().unwrap() {
        let place = &result["locations"][0]["physicalLocation"];
        assert!(place["region"]["startLine"].is_u64(), "{result}");
        let uri = place["artifactLocation"]["uri"].to_string();
        let print = result["partialFingerprints"]["complineFinding/v1"].to_string();
        assert!(seen.insert((uri, print)), "{result}");
    }
}

#[test]
fn bars_stay_under_one_another_when_a_chart_is_mended() {
    let chart = "key: C\r\n|  Dm7   | G7   | Cmaj7       |\r\nmel|F5:4 | B4:4 | E5:4        |\r\nlh|F3.A3.C4.E4|F2.B2 | E3.G3.B3.D4 |\r\n";
    let aligned =
        "| Dm7         | G7    | Cmaj7       |\nlh| F3.A3.C4.E4 | F2.B2 | E3.G3.B3.D4 |\n";
    let aligned = aligned.replacen("| Dm7 ", "  | Dm7 ", 1);
    for ending in ["\n", "\r\n"] {
        let source = aligned.replace('\n', ending);
        let ran = run_with(Path::new("."), &["check", "-", "--mend"], &source);
        let rows: Vec<&str> = ran.out.split(ending).collect();
        let bars = |row: &str| row.match_indices('|').map(|(at, _)| at).collect::<Vec<_>>();
        assert!(!ran.out.contains("F2.B2"), "{}", ran.out);
        assert_eq!(bars(rows[0]), bars(rows[1]), "{}", ran.out);
    }
    // A repeat sign stays whole, and its bar line is the one that is aligned.
    let repeated = "key:C\n  |: Dm7       | Cmaj7        :|\nlh|  F3.A3.E4  | E3.G3.B3.D4   |\n";
    let ran = run_with(Path::new("."), &["check", "-", "--mend"], repeated);
    let mended = "key:C\n  |: Dm7         | Cmaj7        :|\nlh|  F3.A3.C4.E4 | E3.G3.B3.D4   |\n";
    assert_eq!(ran.out, mended);
    let last = "key:C\n  |: Cmaj7       | Dm7     :|\nlh|  E3.G3.B3.D4 | F3.A3.E4 |\n";
    let ran = run_with(Path::new("."), &["check", "-", "--mend"], last);
    let mended = "key:C\n  |: Cmaj7       | Dm7        :|\nlh|  E3.G3.B3.D4 | F3.A3.C4.E4 |\n";
    assert_eq!(ran.out, mended);
    // Where they were not, only the entry changes.
    let ran = run_with(Path::new("."), &["check", "-", "--mend"], chart);
    let (before, after) = (chart.lines().count(), ran.out.lines().count());
    assert_eq!(before, after);
    assert!(
        ran.out
            .contains("|  Dm7   | G7   | Cmaj7       |\r\nmel|F5:4 | B4:4 | E5:4        |\r\n")
    );
}

#[test]
fn the_list_of_rules_says_every_severity_that_findings_have() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let listed = check(root, &["--rules", "--to", "json"]).out;
    let listed: Vec<Value> = listed
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    let found = check(
        root,
        &[
            "tests/suite/faulty",
            "--to",
            "json",
            "--rule",
            "untidy=note",
        ],
    )
    .out;
    for line in found.lines() {
        let finding: Value = serde_json::from_str(line).unwrap();
        let rule = listed
            .iter()
            .find(|rule| rule["rule"] == finding["rule"])
            .unwrap();
        let also = rule["also"]
            .as_array()
            .unwrap()
            .iter()
            .map(|also| &also["severity"]);
        let mut known = also.chain([&rule["severity"]]);
        let untidy = finding["rule"] == "untidy";
        assert!(
            untidy || known.any(|known| *known == finding["severity"]),
            "{finding}"
        );
    }
    let text = check(root, &["--rules"]).out;
    assert!(text.contains("note: one voicing that costs an octave of motion or less."));
}
