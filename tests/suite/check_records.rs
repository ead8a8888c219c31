//! `check` from outside: records of known findings, and charts mended.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::check_charts::{GOOD, MUDDY, NOTED, lines};
use crate::program::{folder, run, run_with};

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
