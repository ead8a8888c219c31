//! What `check` says beside its findings: charts it could hardly look into, charts from one stream,
//! waivers, remarks, and folders that are not there.

use std::fs;

use serde_json::Value;

use crate::program::{folder, project, run, run_with};

const OPEN: &str = "title: Slack Water\n| Dm7 | G7 |\n";
const GOOD: &str = "title: Flood\n   | Dm7         |\nlh | F3.A3.C4.E4 |\n";

fn lines(text: &str) -> Vec<Value> {
    let lines = text.lines().map(serde_json::from_str);
    lines.map(|line| line.expect("a line of JSON")).collect()
}

#[test]
fn a_chart_without_a_left_hand_is_named_and_is_no_fault() {
    let ran = run_with(project(), &["check", "-"], OPEN);
    let told = "no left hand in 1 of 1 chart (<stdin>): `compline voice` writes one\n";
    assert_eq!(
        (ran.status, ran.out.as_str(), ran.err.as_str()),
        (0, "", told)
    );
    for none in ["| N.C. |\n", "| Dm7 |\nlh | - |\n", GOOD] {
        let ran = run_with(project(), &["check", "-"], none);
        assert_eq!((ran.status, ran.err.as_str()), (0, ""), "{none}");
    }
    let half = "| Dm7 | G7 |\nlh | F3.A3.C4.E4 | ? |\n";
    let ran = run_with(project(), &["check", "-"], half);
    assert_eq!(ran.status, 0, "it is a note");
    assert!(
        ran.out
            .starts_with("note[half-voiced]: bar 2 has no left hand")
    );
}

#[test]
fn of_many_charts_without_a_left_hand_a_few_are_named() {
    let names = ["a.chart", "b.chart", "c.chart", "d.chart", "e.chart"];
    let mut files = names.map(|name| (name, OPEN));
    files[1].1 = GOOD;
    let folder = folder(&files);
    for format in ["text", "json", "sarif", "table"] {
        let ran = run(folder.path(), &["check", ".", "--to", format]);
        assert_eq!(ran.status, 0);
        assert_eq!(
            ran.err,
            "no left hand in 4 of 5 charts (./a.chart, ./c.chart, ./d.chart and 1 more): `compline voice` \
             writes one\n"
        );
    }
}

#[test]
fn charts_of_one_stream_are_told_apart_by_their_lines() {
    let voiced = |text: &str| run_with(project(), &["voice", "-", "--to", "json"], text).out;
    let muddy = "| Em7 |\nlh | D3.E3.G3 |\n";
    let stream = [voiced(GOOD), voiced(muddy)].concat();
    let table = run_with(project(), &["check", "-", "--to", "table"], &stream);
    let names = table
        .out
        .lines()
        .filter_map(|line| line.split_whitespace().last());
    assert_eq!(
        names.collect::<Vec<_>>(),
        ["chart", "<stdin>:1", "<stdin>:2", "charts"]
    );
    let roughest = run_with(project(), &["check", "-", "--roughest", "1"], &stream);
    assert!(
        roughest.out.contains("  <stdin>:2, bar 1,"),
        "{}",
        roughest.out
    );
    let text = run_with(project(), &["check", "-"], &stream);
    assert!(
        text.out.contains("--> <stdin>:2: bar 1, beat 1, Em7"),
        "{}",
        text.out
    );
    let json = run_with(project(), &["check", "-", "--to", "json"], &stream);
    assert_eq!(lines(&json.out)[0]["line"], 2);
    // A name with a colon is no address: the log keeps its own, and the line is in the region.
    let sarif = run_with(project(), &["check", "-", "--to", "sarif"], &stream);
    let log: Value = serde_json::from_str(&sarif.out).unwrap();
    let place = &log["runs"][0]["results"][0]["locations"][0]["physicalLocation"];
    assert_eq!(place["region"]["startLine"], 2);
    assert!(
        !place["artifactLocation"].to_string().contains("stdin>:"),
        "{place}"
    );
}

#[test]
fn a_waived_finding_is_told_with_its_reason() {
    let waived = "| Em7 | ; waive muddy: low on purpose\nlh | D3.E3.G3 |\n";
    let json = run_with(project(), &["check", "-", "--to", "json"], waived);
    assert_eq!(json.status, 0);
    let findings = lines(&json.out);
    assert_eq!(findings.len(), 1);
    assert_eq!(findings[0]["waived"], "low on purpose");
    let sarif = run_with(project(), &["check", "-", "--to", "sarif"], waived);
    let log: Value = serde_json::from_str(&sarif.out).unwrap();
    assert_eq!(
        log["runs"][0]["results"][0]["suppressions"],
        serde_json::json!([
            {"kind": "inSource", "status": "accepted", "justification": "low on purpose"}
        ])
    );
}

#[test]
fn every_wrong_waiver_says_how_it_is_written() {
    let wrong = "| Dm7 | ; waive: low\nlh | F3.A3.C4.E4 | ; waive: high\n";
    let ran = run_with(project(), &["check", "-"], wrong);
    let help = "write `; waive RULE: why`";
    assert_eq!(ran.out.matches(help).count(), 2, "{}", ran.out);
}

#[test]
fn a_comment_to_the_band_is_no_waiver() {
    let band = "| Dm7 | ; waive the coda, band: watch me\nlh | F3.A3.C4.E4 |\n";
    let ran = run_with(project(), &["check", "-"], band);
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
    let slip = band.replace("the coda, band", "mudy");
    let ran = run_with(project(), &["check", "-"], &slip);
    assert_eq!(ran.status, 1);
    assert!(ran.out.contains("did you mean `muddy`?"), "{}", ran.out);
}

#[test]
fn what_the_program_remarks_is_held_against_nothing() {
    // By hand since it was voiced: the remarks tell of other notes.
    let source = "     | Fm7           | Bb7    |  ; by hand\nlh   | Eb3.G3.Ab3.C4 | D3.Ab3 |\n\
                  ;:deg  | 1.1.1.1 | 3.b7.9 | - |\n\n; plan: ask Jo\n;:plan motion 9 semitones\n";
    let folder = folder(&[("a.chart", source)]);
    for arguments in [
        &["check", "a.chart", "--rule", "untidy=error"][..],
        &["check", "a.chart", "--mend"],
        &["tidy", "a.chart", "--check"],
        &["tidy", "a.chart", "--in-place"],
    ] {
        let ran = run(folder.path(), arguments);
        assert_eq!(
            (ran.status, ran.out.as_str(), ran.err.as_str()),
            (0, "", ""),
            "{arguments:?}"
        );
    }
    let text = fs::read_to_string(folder.path().join("a.chart")).unwrap();
    assert_eq!(text, source);
}

#[test]
fn a_comment_of_the_user_survives_what_takes_the_remarks_away() {
    let source =
        "title: Ebb\nkey: C\n; plan: ask Jo\n| Dm7 | G7 | C6 | ;deg\n; plan: motion 3 semitones\n";
    let kept = [
        "; plan: ask Jo\n",
        "|  ;deg\n",
        "\n; plan: motion 3 semitones\n",
    ];
    let voiced = run_with(project(), &["voice", "-"], source).out;
    assert!(
        voiced.contains("\n;:deg ") && voiced.contains("\n;:plan effort"),
        "{voiced}"
    );
    let again = run_with(project(), &["voice", "-"], &voiced).out;
    assert_eq!(again, voiced);
    // Without its left hand other chords may be put into it.
    let open = voiced.lines().filter(|line| !line.starts_with("lh"));
    let open: String = open.map(|line| format!("{line}\n")).collect();
    for (arguments, voiced) in [
        (&["tidy", "-", "--key", "D"][..], &voiced),
        (&["tidy", "-", "--key", "C"], &voiced),
        (
            &["reharm", "-", "--ways", "tritone", "--changes", "1"],
            &open,
        ),
    ] {
        let text = run_with(project(), arguments, voiced).out;
        let is_there = |comment: &&str| text.contains(*comment);
        assert!(kept.iter().all(is_there), "{arguments:?}\n{text}");
        // In another key it is remarked afresh; what was remarked about other chords is left out.
        let tidied = arguments.contains(&"tidy");
        assert_eq!(text.contains(";:deg"), tidied, "{arguments:?}\n{text}");
    }
}

#[test]
fn a_folder_that_is_not_there_is_told_of_once() {
    let file = "[folder.\"balads\"]\nlow = \"D3\"\n[folder.\"sets/late\"]\nlow = \"D3\"\n\
                [folder.\"sets\"]\nlow = \"D3\"\n";
    let folder = folder(&[
        ("compline.toml", file),
        ("ballads/a.chart", GOOD),
        ("sets/b.chart", GOOD),
    ]);
    for arguments in [
        &["check", "."][..],
        &["voice", "ballads", "sets"],
        &["check", ".", "--settings", "compline.toml"],
    ] {
        let ran = run(folder.path(), arguments);
        assert_eq!(ran.status, 0);
        for told in [
            "warning: compline.toml: there is no folder `balads` beside it\n |\n = help: did you mean \
             `ballads`?\n",
            "warning: compline.toml: there is no folder `sets/late` beside it\n |\n = help: what it says \
             for that folder holds for no chart\n",
        ] {
            assert_eq!(ran.err.matches(told).count(), 1, "{}", ran.err);
        }
        assert!(!ran.err.contains("`sets`"));
    }
    fs::create_dir_all(folder.path().join("sets/late")).unwrap();
    fs::create_dir_all(folder.path().join("balads")).unwrap();
    let ran = run(folder.path(), &["check", "."]);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
}
