//! The SARIF log of a songbook held against what SARIF 2.1.0 (OASIS Standard, 2020) requires, section
//! by section. `tests/sarif/make.sh --check` holds it against the standard's JSON Schema as well.

use std::fs;

use serde_json::Value;

use crate::program::{folder, project, run, run_with};

const MUDDY: &str = "title: Bilge\nkey: Bb\n   | Cm7           | F7            |\n\
                     lh | Eb2.G2.Bb2.D3 | Eb3.G3.A3.D4  |\n";

fn log(folder: &std::path::Path, arguments: &[&str]) -> (i32, Value) {
    let ran = run(folder, &[&["check", "--to", "sarif"], arguments].concat());
    (ran.status, serde_json::from_str(&ran.out).expect("a log"))
}

fn songbook() -> Value {
    let (status, log) = log(project(), &["tests/suite/faulty"]);
    assert_eq!(status, 1);
    log
}

fn results(log: &Value) -> &Vec<Value> {
    log["runs"][0]["results"].as_array().expect("results")
}

#[test]
fn the_log_and_its_run_are_complete() {
    let log = songbook();
    // 3.13.2, 3.13.3, 3.13.4
    assert_eq!(log["version"], "2.1.0");
    assert!(
        log["$schema"]
            .as_str()
            .unwrap()
            .ends_with("sarif-schema-2.1.0.json")
    );
    let runs = log["runs"].as_array().unwrap();
    assert_eq!(runs.len(), 1);
    // 3.14.6, 3.18.2, 3.19.8, 3.19.12, 3.19.13
    let driver = &runs[0]["tool"]["driver"];
    assert_eq!(driver["name"], "Compline");
    assert_eq!(driver["semanticVersion"], env!("CARGO_PKG_VERSION"));
    // 3.14.17, 3.14.14
    assert_eq!(runs[0]["columnKind"], "unicodeCodePoints");
    assert!(runs[0]["originalUriBaseIds"]["%SRCROOT%"].is_object());
    // 3.20.14
    assert_eq!(runs[0]["invocations"][0]["executionSuccessful"], true);
}

#[test]
fn every_rule_describes_itself() {
    let log = songbook();
    let rules = log["runs"][0]["tool"]["driver"]["rules"]
        .as_array()
        .unwrap();
    let mut names: Vec<&str> = rules
        .iter()
        .map(|rule| rule["id"].as_str().unwrap())
        .collect();
    // 3.19.23, 3.49.3: each once
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), rules.len());
    for rule in rules {
        // 3.49.9, 3.49.10, 3.49.13: text in each
        for part in ["shortDescription", "fullDescription", "help"] {
            assert!(!rule[part]["text"].as_str().unwrap().is_empty(), "{rule}");
        }
        // 3.49.14, 3.50.2, 3.50.3
        let level = rule["defaultConfiguration"]["level"].as_str().unwrap();
        assert!(["note", "warning", "error"].contains(&level));
        assert!(rule["defaultConfiguration"]["enabled"].is_boolean());
    }
}

#[test]
fn every_result_points_into_its_chart() {
    let log = songbook();
    let rules = &log["runs"][0]["tool"]["driver"]["rules"];
    assert!(results(&log).len() > 20);
    for result in results(&log) {
        // 3.27.5, 3.27.6, 3.52.5: the index is the rule's
        let index = usize::try_from(result["ruleIndex"].as_u64().unwrap()).unwrap();
        assert_eq!(rules[index]["id"], result["ruleId"]);
        // 3.27.10, 3.27.11, 3.11.8
        assert!(["note", "warning", "error"].contains(&result["level"].as_str().unwrap()));
        assert!(!result["message"]["text"].as_str().unwrap().is_empty());
        // 3.27.12, 3.28.3, 3.29.3, 3.4.3, 3.4.4
        let physical = &result["locations"][0]["physicalLocation"];
        let artifact = &physical["artifactLocation"];
        assert_eq!(artifact["uriBaseId"], "%SRCROOT%");
        let uri = artifact["uri"].as_str().unwrap();
        let text = fs::read_to_string(project().join(uri)).unwrap();
        // 3.30: what is marked is the entry or the symbol
        let Some(region) = physical.get("region") else {
            assert!(result["locations"][0].get("logicalLocations").is_none());
            continue;
        };
        let number = |name: &str| usize::try_from(region[name].as_u64().unwrap()).unwrap();
        assert_eq!(number("startLine"), number("endLine"));
        // What is about the whole hand marks the first line.
        if region.get("startColumn").is_none() {
            assert_eq!(number("startLine"), 1);
            continue;
        }
        let line: Vec<char> = text
            .lines()
            .nth(number("startLine") - 1)
            .unwrap()
            .chars()
            .collect();
        let marked = &line[number("startColumn") - 1..number("endColumn") - 1];
        assert!(
            !marked.is_empty() && marked.iter().all(|c| *c != '|'),
            "{marked:?}"
        );
        // 3.28.4, 3.33: a comment, a waiver's or the plan's, is at no bar, nor is a heading.
        if marked[0] != ';' && result["ruleId"] != "heading" {
            let logical = &result["locations"][0]["logicalLocations"][0];
            assert!(
                logical["fullyQualifiedName"]
                    .as_str()
                    .unwrap()
                    .contains("bar ")
            );
        }
    }
}

#[test]
fn a_fix_done_as_it_says_cures_the_finding() {
    let folder = folder(&[("a.chart", MUDDY)]);
    let (_, log) = log(folder.path(), &["a.chart"]);
    // 3.55.3, 3.56.3, 3.57.3, 3.57.4
    let result = &results(&log)[0];
    let change = &result["fixes"][0]["artifactChanges"][0];
    assert_eq!(
        change["artifactLocation"],
        result["locations"][0]["physicalLocation"]["artifactLocation"]
    );
    let replacement = &change["replacements"][0];
    let region = &replacement["deletedRegion"];
    let column = |name: &str| usize::try_from(region[name].as_u64().unwrap()).unwrap() - 1;
    let mut lines: Vec<String> = MUDDY.lines().map(str::to_owned).collect();
    let line = &mut lines[usize::try_from(region["startLine"].as_u64().unwrap()).unwrap() - 1];
    // All of this line is ASCII, where characters are bytes.
    let new = replacement["insertedContent"]["text"].as_str().unwrap();
    line.replace_range(column("startColumn")..column("endColumn"), new);
    let mended = run_with(folder.path(), &["check", "-"], &(lines.join("\n") + "\n"));
    assert_eq!(mended.status, 0);
}

#[test]
fn what_is_waived_is_suppressed_with_its_reason() {
    let log = songbook();
    let waived: Vec<&Value> = results(&log)
        .iter()
        .filter(|r| r.get("suppressions").is_some())
        .collect();
    assert!(!waived.is_empty());
    for result in waived {
        // 3.27.23, 3.35.2, 3.35.3
        let suppression = &result["suppressions"][0];
        assert_eq!(suppression["kind"], "inSource");
        assert_eq!(suppression["status"], "accepted");
        assert!(!suppression["justification"].as_str().unwrap().is_empty());
    }
}

#[test]
fn a_record_is_a_baseline() {
    let folder = folder(&[("a.chart", MUDDY)]);
    let (_, without) = log(folder.path(), &["a.chart"]);
    assert!(
        results(&without)
            .iter()
            .all(|r| r.get("baselineState").is_none())
    );
    run(
        folder.path(),
        &["check", "a.chart", "--record", "known.json"],
    );
    let more = format!("{MUDDY}\n   | Bbmaj7        |\nlh | D2.F2.A2.C3    |\n");
    fs::write(folder.path().join("a.chart"), more).unwrap();
    let (status, with) = log(folder.path(), &["a.chart", "--known", "known.json"]);
    assert_eq!(status, 1);
    // 3.27.24
    let state = |bar: &str, state: &str| {
        let of_bar = results(&with).iter().filter(|r| {
            let logical = &r["locations"][0]["logicalLocations"][0]["fullyQualifiedName"];
            logical.as_str().is_some_and(|name| name.contains(bar))
        });
        of_bar.clone().count() > 0 && of_bar.into_iter().all(|r| r["baselineState"] == state)
    };
    assert!(state("bar 1,", "unchanged") && state("bar 3,", "new"));
}

#[test]
fn fingerprints_stay_when_bars_are_put_in_and_tell_twins_apart() {
    let folder = folder(&[("a.chart", MUDDY)]);
    let prints = |chart: &str| {
        fs::write(folder.path().join("a.chart"), chart).unwrap();
        let (_, log) = log(folder.path(), &["a.chart", "--rule", "restless-hand=off"]);
        // 3.27.17
        let prints = results(&log).iter().map(|r| {
            let print = &r["partialFingerprints"]["complineFinding/v1"];
            print.as_str().unwrap().to_owned()
        });
        prints.collect::<Vec<_>>()
    };
    let before = prints(MUDDY);
    let mut each = before.clone();
    each.sort_unstable();
    each.dedup();
    assert_eq!(each.len(), before.len());
    let moved = MUDDY.replace(
        "key: Bb\n",
        "key: Bb\n   | F7           |\nlh | Eb3.G3.A3.D4 |\n\n",
    );
    assert_eq!(prints(&moved), before);
}

#[test]
fn what_could_not_be_checked_is_notified() {
    let folder = folder(&[("a.chart", "| Zz |\n"), ("b c#.chart", MUDDY)]);
    let (status, log) = log(folder.path(), &["a.chart", "b c#.chart", "gone.chart"]);
    assert_eq!(status, 2);
    // 3.20.14, 3.20.21, 3.58
    let invocation = &log["runs"][0]["invocations"][0];
    assert_eq!(invocation["executionSuccessful"], false);
    let told = invocation["toolExecutionNotifications"].as_array().unwrap();
    let uri = |place: &Value| place["physicalLocation"]["artifactLocation"]["uri"].clone();
    let uris: Vec<Value> = told
        .iter()
        .map(|notification| uri(&notification["locations"][0]))
        .collect();
    assert_eq!(uris, ["a.chart", "gone.chart"]);
    // RFC 3986, by way of 3.4.3
    assert_eq!(uri(&results(&log)[0]["locations"][0]), "b%20c%23.chart");
}

#[test]
fn standard_input_and_paths_elsewhere_are_named() {
    let (inside, outside) = (folder(&[]), folder(&[("a.chart", MUDDY)]));
    let ran = run_with(inside.path(), &["check", "-", "--to", "sarif"], MUDDY);
    let piped: Value = serde_json::from_str(&ran.out).unwrap();
    let place = |log: &Value| {
        results(log)[0]["locations"][0]["physicalLocation"]["artifactLocation"].clone()
    };
    assert_eq!(place(&piped)["description"]["text"], "standard input");
    let path = outside.path().join("a.chart");
    let (_, log) = log(inside.path(), &[path.to_str().unwrap()]);
    assert!(place(&log)["uri"].as_str().unwrap().starts_with("file:///"));
    let (_, own) = self::log(outside.path(), &[path.to_str().unwrap()]);
    assert_eq!(place(&own)["uri"], "a.chart");
}

#[test]
fn a_songbook_without_findings_gives_an_empty_log() {
    let folder = folder(&[("a.chart", "| C |\n")]);
    let (status, log) = log(folder.path(), &["."]);
    assert_eq!(status, 0);
    assert!(results(&log).is_empty());
}
