//! Set lists: order, keys and tempi, in one document, a folder or a stream; passes of a performance.

use std::fs;

use serde_json::Value;

use crate::program::{folder, project, run};

const LIST: &str =
    "; Saturday\ntitle: At the Bell\nb.chart  key: Eb  tempo: 90\na.chart\nb.chart\n";

fn evening() -> tempfile::TempDir {
    folder(&[
        ("evening.set", LIST),
        (
            "a.chart",
            "title: Anchor\nkey: C\ntempo: 120\n|: Dm7 | G7 :|\n",
        ),
        ("b.chart", "title: Buoy\nkey: F\n| Gm7 | C7 |\n"),
    ])
}

#[test]
fn charts_come_in_the_order_keys_and_tempi_of_the_list() {
    let ran = run(evening().path(), &["voice", "evening.set", "--to", "json"]);
    let told: Vec<(String, String, Value)> = ran
        .out
        .lines()
        .map(|line| {
            let json: Value = serde_json::from_str(line).unwrap();
            let text = |name: &str| json[name].as_str().unwrap().to_owned();
            (text("title"), text("key"), json["tempo"].clone())
        })
        .collect();
    let expected = [
        ("Buoy", "Eb", Value::from(90)),
        ("Anchor", "C", Value::from(120)),
        ("Buoy", "F", Value::Null),
    ];
    let expected = expected.map(|(title, key, tempo)| (title.to_owned(), key.to_owned(), tempo));
    assert_eq!(told, expected);
    // What is typed comes before the list.
    let ran = run(
        evening().path(),
        &["voice", "evening.set", "--key", "G", "--to", "json"],
    );
    let keys = ran.out.lines().map(|line| {
        let json: Value = serde_json::from_str(line).unwrap();
        json["key"].as_str().unwrap().to_owned()
    });
    assert_eq!(keys.collect::<Vec<_>>(), ["G"; 3]);
}

#[test]
fn a_set_is_one_document_with_contents_or_a_folder_of_numbered_files() {
    let scratch = evening();
    let arguments = ["voice", "evening.set", "--to", "pdf", "-o", "set.pdf"];
    assert_eq!(run(scratch.path(), &arguments).status, 0);
    assert_eq!(
        pages(scratch.path(), "set.pdf"),
        4,
        "contents and three tunes"
    );
    for (format, ending) in [("midi", "mid"), ("musicxml", "musicxml"), ("text", "chart")] {
        let arguments = ["voice", "evening.set", "--to", format, "-o", format];
        assert_eq!(run(scratch.path(), &arguments).status, 0);
        let mut names: Vec<String> = fs::read_dir(scratch.path().join(format))
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        let expected = ["01-b", "02-a", "03-b"].map(|name| format!("{name}.{ending}"));
        assert_eq!(names, expected);
    }
}

#[test]
fn a_list_of_one_tune_has_its_contents_and_a_chart_alone_has_none() {
    let scratch = evening();
    fs::write(scratch.path().join("short.set"), "title: Short\na.chart\n").unwrap();
    for (what, expected) in [("short.set", 2), ("a.chart", 1)] {
        let arguments = ["voice", what, "--to", "pdf", "-o", "out.pdf", "--force"];
        assert_eq!(run(scratch.path(), &arguments).status, 0);
        assert_eq!(pages(scratch.path(), "out.pdf"), expected, "{what}");
    }
}

/// How many pages a PDF file has.
fn pages(folder: &std::path::Path, name: &str) -> usize {
    let pdf = fs::read(folder.join(name)).unwrap();
    String::from_utf8_lossy(&pdf)
        .matches("/Type /Page\n")
        .count()
}

#[test]
fn the_list_in_the_examples_is_playable() {
    let ran = run(
        project(),
        &["voice", "examples/evening.set", "-q", "--to", "json"],
    );
    assert_eq!(ran.status, 0);
    assert_eq!(ran.out.lines().count(), 5);
    assert!(ran.out.lines().nth(1).unwrap().contains("\"key\":\"Dm\""));
}

#[test]
fn mistakes_in_a_list_are_told_with_line_and_column() {
    let scratch = folder(&[
        (
            "wrong.set",
            "a.chart\n  gone.chart\na.chart key: H\na.chart tempo: 0\n",
        ),
        ("empty.set", "; nothing\n"),
        ("a.chart", "key: C\n| C |\n"),
        ("minor.set", "a.chart key: Cm\n"),
    ]);
    let ran = run(scratch.path(), &["voice", "wrong.set"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    for told in [
        "there is no file gone.chart",
        "wrong.set:2:3",
        "`H` is not a key",
        "wrong.set:3:14",
        "wrong.set:4:16",
    ] {
        assert!(ran.err.contains(told), "{told}");
    }
    assert!(
        run(scratch.path(), &["voice", "empty.set"])
            .err
            .contains("names no tune")
    );
    assert!(
        run(scratch.path(), &["voice", "none.set"])
            .err
            .contains("can't read none.set")
    );
    assert!(
        run(scratch.path(), &["voice", "minor.set"])
            .err
            .contains("other mode")
    );
}

#[test]
fn one_pass_is_heard_alone() {
    let scratch = folder(&[(
        "tune.chart",
        "key: C\ntempo: 240\n|: C | F |1 G :|2 Am | Dm ||\n",
    )]);
    let long = |pass: &[&str]| {
        let arguments = [
            &["voice", "tune.chart", "--to", "wav", "-o", "out.wav"],
            pass,
        ]
        .concat();
        assert_eq!(run(scratch.path(), &arguments).status, 0);
        let bytes = fs::metadata(scratch.path().join("out.wav")).unwrap().len();
        (bytes - 44) as f64 / 4.0 / 44_100.0 - 1.5
    };
    let found = [long(&[]), long(&["--pass", "1"]), long(&["--pass", "2"])];
    for (found, expected) in found.into_iter().zip([7.0, 3.0, 4.0]) {
        assert!(
            (found - expected).abs() < 0.001,
            "{found} s, not {expected}"
        );
    }
    let ran = run(
        scratch.path(),
        &["voice", "tune.chart", "--to", "midi", "--pass", "3"],
    );
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("goes through the tune 2 times"));
    for wrong in [&["--pass", "0"][..], &["--pass", "1", "--as-played"]] {
        let arguments = [&["voice", "tune.chart", "--to", "midi"], wrong].concat();
        assert_eq!(run(scratch.path(), &arguments).status, 2);
    }
}

#[test]
fn reports_take_the_keys_of_the_list_and_tell_the_tunes_apart() {
    let scratch = evening();
    let told = |arguments: &[&str]| {
        let ran = run(scratch.path(), arguments);
        assert_eq!(ran.status, 0, "{arguments:?}: {}", ran.err);
        ran.out
    };
    let heads = |text: &str| -> Vec<String> {
        let head = |line: &&str| line.starts_with("Buoy") || line.starts_with("Anchor");
        text.lines().filter(head).map(str::to_owned).collect()
    };
    for command in ["harmony", "why", "options"] {
        let text = told(&[command, "evening.set"]);
        assert_eq!(
            heads(&text),
            ["Buoy, key Eb", "Anchor, key C", "Buoy, key F"],
            "{command}"
        );
        assert!(text.contains("Fm7") && text.contains("Gm7"), "{command}");
    }
    // One tune needs no heading.
    for command in ["why", "options"] {
        assert_eq!(heads(&told(&[command, "a.chart"])), [""; 0], "{command}");
    }
    let tune = "title: Cable\nkey: F\n| Fmaj7 | Dm7 | Gm7 | C7 | Fmaj7 | Dm7 | Gm7 | C7 |\n";
    fs::write(scratch.path().join("c.chart"), tune).unwrap();
    fs::write(scratch.path().join("one.set"), "c.chart key: Eb\n").unwrap();
    let tidy = told(&["tidy", "one.set"]);
    assert!(
        tidy.contains("key: Eb\n") && tidy.contains("| Fm7"),
        "{tidy}"
    );
    let changed = told(&["reharm", "one.set", "--changes", "1"]);
    assert!(changed.contains("key: Eb\n"), "{changed}");
    // A chart's own file keeps its key.
    assert_eq!(told(&["tidy", "--in-place", "one.set"]), "");
    let own = fs::read_to_string(scratch.path().join("c.chart")).unwrap();
    assert!(own.contains("key: F\n"), "{own}");
}
