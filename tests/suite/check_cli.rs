//! `check` from outside: what is shown, in which format, with which status.

use std::fs;

use crate::check_charts::{GOOD, MUDDY, NOTED, lines, rules_of};
use crate::program::{folder, project, run, run_with};

#[test]
fn all_is_well_in_silence() {
    let folder = folder(&[("a.chart", GOOD), ("sub/b.chart", GOOD)]);
    for arguments in [vec!["check", "."], vec!["check", "a.chart", "--to", "json"]] {
        let ran = run(folder.path(), &arguments);
        assert_eq!(
            (ran.status, ran.out.as_str(), ran.err.as_str()),
            (0, "", "")
        );
    }
    // Nothing is wrong with what is still to be planned.
    let ran = run_with(folder.path(), &["check", "-"], "| Dm7 | G7 |\n");
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
}

#[test]
fn a_finding_shows_its_line_its_rule_and_its_mend() {
    let folder = folder(&[("a.chart", MUDDY)]);
    let ran = run(folder.path(), &["check", "a.chart"]);
    assert_eq!(ran.status, 1);
    for part in [
        "warning[muddy]: ",
        "error[out-of-range]: Eb2 lies under the range, C3",
        " --> a.chart:4:6\n",
        "4 | lh | Eb2.G2.Bb2.D3 | Eb3.G3.A3.D4  |\n",
        "^^^^^^^^^^^^^ bar 1, beat 1, Cm7",
        "for information: roughness ",
        "= help: play Eb3.G3.Bb3.D4 instead",
    ] {
        assert!(ran.out.contains(part), "{part}");
    }
    let last = ran.err.lines().last().unwrap();
    assert!(last.contains(" findings in 1 of 1 chart: "), "{last}");
}

#[test]
fn what_mends_a_voicing_is_said_once_after_all_that_is_wrong_with_it() {
    let worse = MUDDY.replace("Eb2.G2.Bb2.D3", "Eb2.E2.Bb2.C#3");
    let folder = folder(&[("a.chart", &worse)]);
    let ran = run(
        folder.path(),
        &["check", "a.chart", "--rule", "muddy=error"],
    );
    let first: Vec<&str> = ran
        .out
        .split("\n\n")
        .filter(|one| one.contains("bar 1, beat 1"))
        .collect();
    assert!(first.len() > 2, "{}", ran.out);
    let helped = first.iter().map(|one| one.contains("= help: play "));
    let (last, before) = first.split_last().unwrap();
    assert!(last.contains("= help: play "), "{}", ran.out);
    assert_eq!(helped.filter(|helped| *helped).count(), 1, "{before:?}");
    // For programs every finding is whole.
    let json = run(folder.path(), &["check", "a.chart", "--to", "json"]).out;
    assert!(
        lines(&json)
            .iter()
            .filter(|one| one["bar"] == 1)
            .all(|one| !one["mend"].is_null())
    );
}

#[test]
fn findings_in_json_have_their_place_and_hold_to_the_schema() {
    let folder = folder(&[("a.chart", MUDDY)]);
    let ran = run(folder.path(), &["check", "a.chart", "--to", "json"]);
    assert_eq!((ran.status, ran.err.as_str()), (1, ""));
    let findings = lines(&ran.out);
    // A voicing that is replaced for lying too low is not found again for leaping.
    let rules = rules_of(&findings);
    assert_eq!(rules, ["muddy", "out-of-range"]);
    let first = &findings[0];
    assert_eq!(first["chart"], "a.chart");
    assert_eq!((&first["line"], &first["column"]), (&4.into(), &6.into()));
    assert_eq!(
        (&first["end_line"], &first["end_column"]),
        (&4.into(), &19.into())
    );
    assert_eq!((&first["bar"], &first["beat"]), (&1.into(), &"1".into()));
    assert_eq!(
        first["notes"],
        serde_json::json!(["Eb2", "G2", "Bb2", "D3"])
    );
    assert_eq!(first["mend"]["kind"], "replan");
    assert_eq!(
        first["mend"]["changes"][0]["notes"],
        serde_json::json!(["Eb3", "G3", "Bb3", "D4"])
    );
    let faulty = run(project(), &["check", "tests/suite/faulty", "--to", "json"]);
    let schema = run(project(), &["check", "--schema"]);
    let schema = serde_json::from_str(&schema.out).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let all = lines(&faulty.out);
    assert!(all.len() > 20);
    for finding in findings.iter().chain(&all) {
        let wrong: Vec<String> = validator
            .iter_errors(finding)
            .map(|e| e.to_string())
            .collect();
        assert!(wrong.is_empty(), "{finding}: {wrong:?}");
    }
    assert!(all.iter().any(|finding| finding["waived"].is_string()));
}

#[test]
fn columns_are_counted_in_characters() {
    let chart = MUDDY
        .replace("   | Cm7", "   | C♭m7")
        .replace("lh |", "lh | ");
    let folder = folder(&[("a.chart", &chart.replace("lh |  Eb2", "lh | E♭2"))]);
    let ran = run(
        folder.path(),
        &[
            "check",
            "a.chart",
            "--to",
            "json",
            "--rule",
            "restless-hand=off",
        ],
    );
    let finding = &lines(&ran.out)[0];
    assert_eq!(
        (&finding["column"], &finding["end_column"]),
        (&6.into(), &19.into())
    );
}

#[test]
fn what_fails_is_for_the_settings_to_say() {
    let folder = folder(&[("a.chart", NOTED), ("b.chart", MUDDY)]);
    let status = |arguments: &[&str]| run(folder.path(), &[&["check"], arguments].concat()).status;
    assert_eq!(status(&["a.chart"]), 0);
    assert_eq!(status(&["a.chart", "--fail-on", "note"]), 1);
    assert_eq!(status(&["b.chart", "--fail-on", "error"]), 1);
    let tame = [
        "b.chart",
        "--fail-on",
        "error",
        "--rule",
        "out-of-range=warning",
    ];
    assert_eq!(status(&tame), 0);
    let off = [
        "b.chart",
        "--rule",
        "out-of-range=off",
        "--rule",
        "muddy=off",
        "--rule",
        "restless-hand=off",
    ];
    assert_eq!(status(&off), 0);
    for wrong in ["mudy=off", "muddy", "muddy=loud"] {
        let ran = run(folder.path(), &["check", "b.chart", "--rule", wrong]);
        assert_eq!(ran.status, 2);
        assert!(ran.err.contains(&format!("--rule {wrong}")));
    }
    fs::write(folder.path().join("compline.toml"), "fail-on = \"note\"\n").unwrap();
    assert_eq!(status(&["a.chart"]), 1);
    assert_eq!(status(&["a.chart", "--fail-on", "warning"]), 0);
    fs::write(
        folder.path().join("compline.toml"),
        "low = \"C2\"\nlimits = \"none\"\n[rules]\nrestless-hand = \"off\"\n",
    )
    .unwrap();
    assert_eq!(status(&["b.chart"]), 0);
}

#[test]
fn voice_and_check_agree_under_one_settings_file() {
    let file = "low = \"E3\"\nhigh = \"C5\"\nreach = 12\npalette = \"shell,guide-tones\"\n\
                colour = \"written\"\nleap = 7\n";
    let folder = folder(&[
        ("compline.toml", file),
        ("a.chart", "key: C\n| Dm7 | G7 | Cmaj7 | A7 |\n"),
    ]);
    let voiced = run(folder.path(), &["voice", "a.chart", "-o", "b.chart"]);
    assert_eq!(voiced.status, 0);
    let ran = run(folder.path(), &["check", "b.chart", "--fail-on", "note"]);
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
    let strict = run(
        folder.path(),
        &["check", "b.chart", "--high", "G4", "--low", "G3"],
    );
    assert_eq!(strict.status, 1);
}

#[test]
fn the_table_has_a_row_a_chart_and_one_for_all() {
    let folder = folder(&[("a.chart", MUDDY), ("b.chart", GOOD)]);
    let ran = run(folder.path(), &["check", ".", "--to", "table"]);
    assert_eq!((ran.status, ran.err.as_str()), (1, ""));
    let rows: Vec<Vec<&str>> = ran
        .out
        .lines()
        .map(|row| row.split_whitespace().collect())
        .collect();
    assert_eq!(rows[0].len(), 9);
    assert_eq!(rows[2][..7], ["0", "0", "0", "0", "0", "1", "1"]);
    assert!(rows[1][0].parse::<u32>().unwrap() > 0);
    assert_eq!(rows[3][8..], ["all:", "2", "charts"]);
    let rough = |row: &[&str]| row[7].parse::<f64>().unwrap();
    assert!(rough(&rows[1]) > rough(&rows[2]));
    assert_eq!(rows[3][7], rows[1][7]);
}

#[test]
fn the_roughest_voicings_are_listed_and_judge_nothing() {
    let folder = folder(&[("a.chart", MUDDY), ("b.chart", MUDDY), ("c.chart", GOOD)]);
    let ran = run(folder.path(), &["check", ".", "--roughest", "3"]);
    assert_eq!(ran.status, 0);
    let rows: Vec<&str> = ran.out.lines().collect();
    assert_eq!(rows.len(), 3);
    assert!(rows[0].contains("./a.chart, bar 1, beat 1, Cm7: Eb2.G2.Bb2.D3"));
    assert!(rows[1].contains("./b.chart, bar 1, beat 1, Cm7: Eb2.G2.Bb2.D3"));
    assert_eq!(rows[0][..5], rows[1][..5]);
    assert!(rows[2].contains("./a.chart, bar 2"));
    let json = run(
        folder.path(),
        &["check", ".", "--roughest", "1", "--to", "json"],
    );
    let json = lines(&json.out);
    assert_eq!(json.len(), 1);
    assert_eq!(json[0]["notes"], "Eb2.G2.Bb2.D3");
    assert!(json[0]["roughness"].as_f64().unwrap() > 0.0);
    let sarif = run(
        folder.path(),
        &["check", ".", "--roughest", "1", "--to", "sarif"],
    );
    assert_eq!(sarif.status, 2);
}

#[test]
fn the_rules_are_listed_with_what_they_are_worth_here() {
    let folder = folder(&[(
        "compline.toml",
        "[rules]\nmuddy = \"error\"\nuntidy = \"note\"\n",
    )]);
    let ran = run(
        folder.path(),
        &[
            "check",
            "--rules",
            "--to",
            "json",
            "--rule",
            "minor-ninth=off",
        ],
    );
    assert_eq!(ran.status, 0);
    let rules = lines(&ran.out);
    let severity = |name: &str| {
        let rule = rules.iter().find(|rule| rule["rule"] == name).unwrap();
        rule["severity"].as_str().unwrap().to_owned()
    };
    assert_eq!(severity("muddy"), "error");
    assert_eq!(severity("untidy"), "note");
    assert_eq!(severity("minor-ninth"), "off");
    let text = run(folder.path(), &["check", "--rules"]).out;
    assert_eq!(text.lines().count(), rules.len());
    assert!(
        rules
            .iter()
            .all(|rule| text.contains(rule["why"].as_str().unwrap()))
    );
}

#[test]
fn a_place_for_findings_is_refused_rather_than_passed_over() {
    let folder = folder(&[("a.chart", "| C |\n")]);
    let ran = run(
        folder.path(),
        &["check", "a.chart", "--to", "sarif", "-o", "x.sarif"],
    );
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("--mend"), "{}", ran.err);
}
