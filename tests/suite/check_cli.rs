//! `check` from outside: ways in, ways out, mending, records, exit statuses, bad input.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::program::{compline, folder, project, run, run_with};

/// Two voicings planned by the program itself.
const GOOD: &str = "title: Calm Water\nkey: Bb\n   | Cm7           | F7            |\n\
                    lh | Eb3.G3.Bb3.D4 | Eb3.G3.A3.D4  |\n";
/// The first lies too low, for the range and for its intervals.
const MUDDY: &str = "title: Bilge\nkey: Bb\n   | Cm7           | F7            |\n\
                     lh | Eb2.G2.Bb2.D3 | Eb3.G3.A3.D4  |\n";
/// A symbol with two readings: a note, no more.
const NOTED: &str = "title: Two Ways\nkey: C\n   | C11           |\nlh | F3.G3.Bb3.C4 |\n";

fn lines(text: &str) -> Vec<Value> {
    let lines = text.lines();
    lines
        .map(|line| serde_json::from_str(line).expect("a line of JSON"))
        .collect()
}

fn rules_of(findings: &[Value]) -> Vec<&str> {
    findings
        .iter()
        .map(|finding| finding["rule"].as_str().unwrap())
        .collect()
}

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
fn the_json_of_voice_is_checked_as_the_chart_is() {
    let folder = folder(&[("a.chart", MUDDY), ("b.chart", GOOD)]);
    let voiced = run(
        folder.path(),
        &["voice", "a.chart", "b.chart", "--to", "json"],
    );
    fs::write(folder.path().join("all.json"), format!("\n{}", voiced.out)).unwrap();
    let of_chart = run(
        folder.path(),
        &["check", "a.chart", "b.chart", "--to", "json"],
    );
    let of_json = run(folder.path(), &["check", "all.json", "--to", "json"]);
    let piped = run_with(folder.path(), &["check", "-", "--to", "json"], &voiced.out);
    assert_eq!((of_json.status, piped.status), (1, 1));
    let (chart, json, piped) = (lines(&of_chart.out), lines(&of_json.out), lines(&piped.out));
    assert_eq!(rules_of(&chart), rules_of(&json));
    assert_eq!(rules_of(&chart), rules_of(&piped));
    for (from_chart, from_json) in chart.iter().zip(&json) {
        for name in ["message", "bar", "symbol", "notes", "mend", "title"] {
            assert_eq!(from_chart[name], from_json[name], "{name}");
        }
        assert_eq!(
            (&from_json["line"], &from_json["column"]),
            (&2.into(), &Value::Null)
        );
    }
    let text = run(folder.path(), &["check", "all.json"]);
    assert!(text.out.contains("--> all.json:2: bar 1, beat 1, Cm7"));
}

#[test]
fn the_tune_comes_along_in_the_json() {
    let chart = "key: C\n   | Cmaj7         |\nmel | G4:4 |\nlh | E3.G3.B3.D4  |\n";
    let under = chart.replace("G4:4", "C4:4");
    for (text, status) in [(chart, 0), (under.as_str(), 1)] {
        let folder = folder(&[]);
        let voiced = run_with(folder.path(), &["voice", "-", "--to", "json"], text);
        let checked = run_with(folder.path(), &["check", "-"], &voiced.out);
        assert_eq!(checked.status, status);
        assert_eq!(
            run_with(folder.path(), &["check", "-"], text).status,
            status
        );
    }
}

#[test]
fn bad_json_is_told_with_its_line_and_the_rest_is_checked() {
    let folder = folder(&[]);
    let voiced = run_with(folder.path(), &["voice", "-", "--to", "json"], MUDDY);
    let stream = format!("{}{{\"format\": 3}}\n\n{{\n{}", voiced.out, voiced.out);
    fs::write(folder.path().join("all.json"), stream).unwrap();
    let ran = run(folder.path(), &["check", "all.json", "--to", "json"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("all.json:2: column 12: "));
    assert!(ran.err.contains("all.json:4: "));
    let findings = lines(&ran.out);
    let at = |line: u64| {
        findings
            .iter()
            .filter(|finding| finding["line"] == line)
            .count()
    };
    assert!(at(1) > 0);
    assert_eq!(at(1), at(5));
    let mend = run(folder.path(), &["check", "all.json", "--mend"]);
    assert_eq!(mend.status, 2);
    assert!(mend.err.contains("only a chart can be mended"));
}

#[test]
fn sources_that_can_not_be_read_keep_nothing_from_being_checked() {
    let folder = folder(&[
        ("book/a.chart", MUDDY),
        ("book/broken.chart", "| Zz |\n"),
        ("empty/readme.txt", ""),
    ]);
    let ran = run(
        folder.path(),
        &[
            "check",
            "missing.chart",
            "empty",
            "book/a.chart/through",
            "book",
            "--to",
            "json",
        ],
    );
    assert_eq!(ran.status, 2);
    for word in [
        "missing.chart",
        "no charts in empty",
        "book/a.chart/through",
        "`Zz`",
    ] {
        assert!(ran.err.contains(word), "{word}");
    }
    assert!(rules_of(&lines(&ran.out)).contains(&"muddy"));
}

#[test]
#[cfg(unix)]
fn links_that_lead_nowhere_or_round_are_told() {
    use std::os::unix::fs::symlink;
    let folder = folder(&[("book/z.chart", MUDDY)]);
    let book = folder.path().join("book");
    symlink("nowhere", book.join("a.chart")).unwrap();
    symlink("b.chart", book.join("b.chart")).unwrap();
    symlink(".", book.join("round")).unwrap();
    let ran = run(folder.path(), &["check", "book", "--to", "json"]);
    assert_eq!(ran.status, 2);
    assert!(
        ran.err.contains("can't read book/a.chart") && ran.err.contains("can't read book/b.chart")
    );
    let mut findings = lines(&ran.out);
    findings.retain(|finding| finding["rule"] != "unreadable");
    assert!(!findings.is_empty());
    assert!(
        findings
            .iter()
            .all(|finding| finding["chart"] == "book/z.chart")
    );
}

#[test]
#[cfg(unix)]
fn a_chart_deleted_while_the_run_goes_on_is_told_and_the_rest_is_checked() {
    use std::process::{Command, Stdio};
    let folder = folder(&[]);
    for number in 0..400 {
        fs::write(folder.path().join(format!("{number:03}.chart")), GOOD).unwrap();
    }
    fs::write(folder.path().join("399.chart"), MUDDY).unwrap();
    // The run waits for the pipe, and has not come to the last charts by then.
    let pipe = folder.path().join("pipe");
    crate::program::named_pipe(&pipe);
    let child = Command::new(env!("CARGO_BIN_EXE_compline"))
        .args(["check", "--to", "json", "pipe", "."])
        .current_dir(folder.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // Opening waits until the program has opened it as well.
    let mut writer = fs::OpenOptions::new().write(true).open(&pipe).unwrap();
    fs::remove_file(folder.path().join("398.chart")).unwrap();
    std::io::Write::write_all(&mut writer, GOOD.as_bytes()).unwrap();
    drop(writer);
    let output = child.wait_with_output().unwrap();
    let told = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{told}");
    assert!(told.contains("398.chart"), "{told}");
    assert_eq!(told.matches("error: ").count(), 1, "{told}");
    let found = String::from_utf8(output.stdout).unwrap();
    assert!(found.contains("399.chart"));
}

#[test]
#[cfg(unix)]
fn standard_output_closed_half_way_is_no_error_and_findings_are_findings() {
    use std::io::{BufRead, BufReader};
    use std::process::{Command, Stdio};
    let folder = folder(&[]);
    for number in 0..600 {
        fs::write(folder.path().join(format!("{number}.chart")), MUDDY).unwrap();
    }
    for format in ["text", "json", "sarif", "table"] {
        let mut child = Command::new(env!("CARGO_BIN_EXE_compline"))
            .args(["check", ".", "--to", format])
            .current_dir(folder.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut first = String::new();
        BufReader::new(child.stdout.take().unwrap())
            .read_line(&mut first)
            .unwrap();
        assert!(!first.is_empty());
        let output = child.wait_with_output().unwrap();
        let told = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(1), "{format}: {told}");
        assert!(
            !told.contains("panic") && !told.contains("roken pipe"),
            "{format}: {told}"
        );
    }
}

#[test]
fn results_come_in_order_on_any_number_of_threads() {
    let run_on = |threads: &str| {
        let output = compline(project())
            .args(["check", "tests/suite/faulty", "charts", "--to", "json"])
            .env("RAYON_NUM_THREADS", threads)
            .output()
            .unwrap();
        output.stdout
    };
    assert_eq!(run_on("1"), run_on("4"));
}

#[test]
fn mending_rewrites_the_faulty_chart_and_no_other() {
    let folder = folder(&[
        ("a.chart", MUDDY),
        ("b.chart", GOOD),
        ("c.chart", "| Zz |\n"),
    ]);
    let stamp = |name: &str| {
        fs::metadata(folder.path().join(name))
            .unwrap()
            .modified()
            .unwrap()
    };
    let before = stamp("b.chart");
    let ran = run(folder.path(), &["check", "--mend", "."]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("a.chart: 1 voicing mended"));
    let text = |name: &str| fs::read_to_string(folder.path().join(name)).unwrap();
    assert_eq!(
        text("a.chart"),
        MUDDY.replace("Eb2.G2.Bb2.D3", "Eb3.G3.Bb3.D4")
    );
    assert_eq!(stamp("b.chart"), before);
    assert_eq!(text("c.chart"), "| Zz |\n");
    let again = run(folder.path(), &["check", "--mend", "a.chart"]);
    assert_eq!(
        (again.status, again.out.as_str(), again.err.as_str()),
        (0, "", "")
    );
}

#[test]
fn mending_goes_where_it_is_told() {
    let folder = folder(&[("in/a.chart", MUDDY), ("in/b.chart", GOOD)]);
    let mended = MUDDY.replace("Eb2.G2.Bb2.D3", "Eb3.G3.Bb3.D4");
    let piped = run_with(folder.path(), &["check", "--mend", "-"], MUDDY);
    assert_eq!((piped.status, piped.out.as_str()), (0, mended.as_str()));
    let shown = run(folder.path(), &["check", "--mend", "in/a.chart", "-o", "-"]);
    assert_eq!(shown.out, mended);
    assert_eq!(
        run(folder.path(), &["check", "--mend", "in", "-o", "out"]).status,
        0
    );
    let text = |name: &str| fs::read_to_string(folder.path().join(name)).unwrap();
    assert_eq!(text("out/a.chart"), mended);
    assert_eq!(text("out/b.chart"), GOOD);
    assert_eq!(text("in/a.chart"), MUDDY);
    for wrong in [
        vec!["--to", "json"],
        vec!["--record", "x"],
        vec!["--roughest", "3"],
    ] {
        let arguments = [vec!["check", "--mend", "in"], wrong].concat();
        assert_eq!(run(folder.path(), &arguments).status, 2);
    }
    assert_eq!(run(folder.path(), &["check", "in", "-o", "out"]).status, 2);
}

#[test]
fn what_mending_leaves_is_told_on_standard_error() {
    let folder = folder(&[]);
    let ran = run_with(
        folder.path(),
        &["check", "--mend", "-", "--fail-on", "note"],
        NOTED,
    );
    assert_eq!((ran.status, ran.out.as_str()), (1, NOTED));
    assert!(ran.err.contains("note[two-readings]"));
}

#[test]
fn a_mended_chart_keeps_its_name_for_middle_c() {
    let chart = MUDDY.replace("key: Bb", "key: Bb\nmiddle-c: C3");
    let chart = chart
        .replace("Eb2.G2.Bb2.D3", "Eb1.G1.Bb1.D2")
        .replace("Eb3.G3.A3.D4", "Eb2.G2.A2.D3");
    let folder = folder(&[("a.chart", &chart)]);
    let log = run(folder.path(), &["check", "a.chart", "--to", "sarif"]);
    let log: Value = serde_json::from_str(&log.out).unwrap();
    let fix = &log["runs"][0]["results"][0]["fixes"][0]["artifactChanges"][0]["replacements"][0];
    assert_eq!(fix["insertedContent"]["text"], "Eb2.G2.Bb2.D3");
    let mended = run(folder.path(), &["check", "--mend", "a.chart", "-o", "-"]);
    assert!(mended.out.contains("lh | Eb2.G2.Bb2.D3 | Eb2.G2.A2.D3"));
}

#[test]
fn only_what_is_not_on_record_fails() {
    let folder = folder(&[("book/a.chart", MUDDY), ("book/b.chart", GOOD)]);
    let record = run(folder.path(), &["check", "book", "--record", "known.json"]);
    assert_eq!((record.status, record.out.as_str()), (0, ""));
    assert!(record.err.contains("recorded in known.json"));
    let known = ["check", "book", "--known", "known.json"];
    let ran = run(folder.path(), &known);
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
    assert!(ran.err.contains("0 findings in 0 of 2 charts") && ran.err.contains(" known"));
    // Bars put in before it change nothing.
    let moved = MUDDY.replace(
        "key: Bb\n",
        "key: Bb\n   | F7           |\nlh | Eb3.G3.A3.D4 |\n\n",
    );
    fs::write(folder.path().join("book/a.chart"), &moved).unwrap();
    let ran = run(folder.path(), &known);
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
    // The same fault once more is new.
    let twice = moved + "\n   | Cm7           |\nlh | Eb2.G2.Bb2.D3 |\n";
    fs::write(folder.path().join("book/a.chart"), twice).unwrap();
    let ran = run(folder.path(), &[&known[..], &["--to", "json"]].concat());
    assert_eq!(ran.status, 1);
    let findings = lines(&ran.out);
    let (old, new): (Vec<_>, Vec<_>) = findings.iter().partition(|f| f["known"] == true);
    assert!(!old.is_empty() && !new.is_empty());
    assert!(new.iter().all(|f| f["bar"] == 4 || f["bar"].is_null()));
    // What is mended is gone, and what is gone is said.
    fs::write(folder.path().join("book/a.chart"), GOOD).unwrap();
    let ran = run(folder.path(), &known);
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
    assert!(ran.err.contains("on record gone: record again"));
    fs::remove_file(folder.path().join("book/a.chart")).unwrap();
    assert!(run(folder.path(), &known).err.contains("on record gone"));
}

#[test]
fn a_record_holds_from_any_folder_and_by_the_settings_file() {
    let folder = folder(&[("book/a.chart", MUDDY), ("book/compline.toml", "")]);
    let at = |folder: &Path, arguments: &[&str]| run(folder, arguments).status;
    let book = folder.path().join("book");
    assert_eq!(
        at(
            folder.path(),
            &["check", "book", "--record", "book/known.json"]
        ),
        0
    );
    assert_eq!(at(&book, &["check", ".", "--known", "known.json"]), 0);
    fs::write(book.join("compline.toml"), "known = \"known.json\"\n").unwrap();
    assert_eq!(at(folder.path(), &["check", "book"]), 0);
    assert_eq!(at(&book, &["check", "a.chart"]), 0);
    let text = fs::read_to_string(book.join("known.json")).unwrap();
    assert!(
        text.contains("\"chart\":\"a.chart\",\"rule\":\"muddy\""),
        "{text}"
    );
    for (wrong, said) in [
        ("{", "not a record"),
        ("{\"format\":\"x\",\"version\":1,\"findings\":[]}", "`x`"),
    ] {
        fs::write(book.join("known.json"), wrong).unwrap();
        let ran = run(&book, &["check", "a.chart"]);
        assert_eq!(ran.status, 2);
        assert!(ran.err.contains("known.json") && ran.err.contains(said));
    }
}

/// A record of nothing.
const OLD: &str = r#"{"format": "compline-known", "version": 1, "findings": []}"#;

#[test]
fn half_a_songbook_is_not_recorded() {
    let folder = folder(&[
        ("a.chart", MUDDY),
        ("b.chart", "| Zz |\n"),
        ("known.json", OLD),
    ]);
    let ran = run(folder.path(), &["check", ".", "--record", "known.json"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("known.json is not written"));
    assert_eq!(
        fs::read_to_string(folder.path().join("known.json")).unwrap(),
        OLD
    );
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
fn folders_are_checked_without_what_they_ignore() {
    let folder = folder(&[
        ("a.chart", GOOD),
        ("drafts/b.chart", MUDDY),
        (".ignore", "drafts\n"),
    ]);
    assert_eq!(run(folder.path(), &["check", "."]).status, 0);
    assert_eq!(run(folder.path(), &["check", "drafts/b.chart"]).status, 1);
}

/// The peak of a run's memory in KiB, as the system counts it.
#[cfg(target_os = "linux")]
fn peak(folder: &Path, arguments: &[&str]) -> u64 {
    use std::process::{Command, Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_compline"))
        .args(arguments)
        .current_dir(folder)
        .env("RAYON_NUM_THREADS", "2")
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let status = format!("/proc/{}/status", child.id());
    let mut peak = 0;
    while child.try_wait().unwrap().is_none() {
        let text = fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let size = line.and_then(|line| line.trim().split(' ').next()?.parse().ok());
        peak = size.unwrap_or(0).max(peak);
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
    peak
}

#[test]
#[cfg(target_os = "linux")]
fn memory_does_not_grow_with_the_songbook() {
    let (small, large) = (folder(&[]), folder(&[]));
    for number in 0..2_000 {
        let name = format!("{number}.chart");
        fs::write(large.path().join(&name), MUDDY).unwrap();
        if number < 400 {
            fs::write(small.path().join(&name), MUDDY).unwrap();
        }
    }
    for format in ["json", "sarif"] {
        let arguments = ["check", ".", "--to", format];
        let (few, many) = (
            peak(small.path(), &arguments),
            peak(large.path(), &arguments),
        );
        println!("{format}: 400 charts {few} KiB, 2,000 charts {many} KiB");
        // The list of the charts' names grows; their findings, of which each chart has seven, may not.
        assert!(
            few > 0 && many < few + 4_000,
            "{format}: {few} KiB, {many} KiB"
        );
    }
}

#[test]
fn a_record_that_settings_name_may_be_written_first_and_never_over_a_chart() {
    let muddy =
        "key: Bb\n   | Cm7           | F7            |\nlh | Eb3.G3.Bb3.D4 | C3.D3.Eb3.A3  |\n";
    let folder = folder(&[
        ("a.chart", muddy),
        ("compline.toml", "known = \"known.json\"\n"),
    ]);
    let over = run(folder.path(), &["check", "a.chart", "--record", "a.chart"]);
    assert_eq!(over.status, 2);
    assert!(over.err.contains("would overwrite"), "{}", over.err);
    let settings = run(
        folder.path(),
        &["check", "a.chart", "--record", "compline.toml"],
    );
    assert_eq!(settings.status, 2);
    let kept = fs::read_to_string(folder.path().join("a.chart")).unwrap();
    assert_eq!(kept, muddy);
    let first = run(
        folder.path(),
        &["check", "a.chart", "--record", "known.json"],
    );
    assert_eq!(first.status, 0, "{}", first.err);
    assert_eq!(run(folder.path(), &["check", "a.chart"]).status, 0);
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
