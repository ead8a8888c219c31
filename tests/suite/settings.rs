//! The settings file of a songbook: where it is found, what it says, what is wrong with it.

use std::fs;

use serde_json::Value;

use crate::program::{folder, run, run_with};

const TUNE: &str = "title: Slack Water\nkey: C\n| Dm7 | G7 | Cmaj7 | % |\n";

/// The `settings` of the JSON that these arguments give.
fn settings(folder: &std::path::Path, arguments: &[&str]) -> Vec<Value> {
    let ran = run(folder, &[&["voice", "--to", "json"], arguments].concat());
    assert_eq!(ran.status, 0);
    let objects = ran
        .out
        .lines()
        .map(|line| serde_json::from_str::<Value>(line).unwrap());
    objects.map(|object| object["settings"].clone()).collect()
}

#[test]
fn every_key_is_obeyed_and_an_option_comes_before_it() {
    let file = "low = \"D3\"\nhigh = 72\nhand = \"200mm\"\nlimits = \"table.txt\"\ncount-bass = 1\n\
                palette = [\"three-note\", \"guide-tones\"]\ncolour = \"written\"\nignore-melody = true\n\
                loop = true\ntop = \"free\"\nleap = 11\nfail-on = \"error\"\n[rules]\nuntidy = \"note\"\n\
                [surcharges]\nplain = 5\nfloor = \"D3\"\n";
    let folder = folder(&[
        ("book/compline.toml", file),
        ("book/table.txt", "name: pier\nm2 F3\n"),
        ("book/deep/er/a.chart", TUNE),
    ]);
    let found = settings(folder.path(), &["book"]);
    let expected = serde_json::json!({
        "low": 50, "high": 72, "reach": null, "hand_mm": 200, "limits": "pier", "count_bass": 1,
        "palette": ["three-note", "guide-tones"], "colour": "written", "ignore_melody": true,
        "plan": "as-written", "loop": true, "top": "free", "leap": 11,
        "surcharges": {"register": 4, "floor": 50, "plain": 5, "melody": 2}
    });
    assert_eq!(found, [expected]);
    let typed = [
        "book",
        "--low",
        "E3",
        "--reach",
        "13",
        "--colour",
        "natural",
        "--leap",
        "12",
        "--surcharge",
        "plain=0,melody=3",
    ];
    let found = settings(folder.path(), &typed);
    assert_eq!(
        (&found[0]["low"], &found[0]["reach"]),
        (&52.into(), &13.into())
    );
    assert_eq!(
        (&found[0]["colour"], &found[0]["leap"]),
        (&"natural".into(), &12.into())
    );
    assert_eq!(found[0]["limits"], "pier");
    let surcharges = serde_json::json!({"register": 4, "floor": 50, "plain": 0, "melody": 3});
    assert_eq!(found[0]["surcharges"], surcharges);
}

#[test]
fn each_chart_has_the_settings_of_its_folder() {
    let file =
        "reach = 13\n[folder.\"ballads\"]\nlow = \"E3\"\n[folder.\"ballads/late\"]\nreach = 12\n";
    let folder = folder(&[
        ("compline.toml", file),
        ("a.chart", TUNE),
        ("ballads/b.chart", TUNE),
        ("ballads/late/c.chart", TUNE),
        ("ballads-too/d.chart", TUNE),
    ]);
    let found = settings(folder.path(), &["a.chart", "ballads", "ballads-too"]);
    let hands: Vec<(i64, i64)> = found
        .iter()
        .map(|s| (s["low"].as_i64().unwrap(), s["reach"].as_i64().unwrap()))
        .collect();
    assert_eq!(hands, [(48, 13), (52, 13), (52, 12), (48, 13)]);
}

#[test]
fn options_and_why_obey_the_file_as_voice_does() {
    let folder = folder(&[
        ("compline.toml", "palette = \"shell\"\n"),
        ("a.chart", TUNE),
    ]);
    let voiced = run(folder.path(), &["voice", "a.chart", "--to", "json"]);
    assert!(voiced.out.contains("\"shape\":\"shell\""));
    let options = run(folder.path(), &["options", "a.chart"]);
    assert!(options.out.contains("shell") && !options.out.contains("rootless"));
    let why = run(folder.path(), &["why", "a.chart"]);
    assert!(why.out.contains("shell A") || why.out.contains("shell B"));
    let without = run(folder.path(), &["options", "a.chart", "--no-settings"]);
    assert!(without.out.contains("rootless"));
}

#[test]
fn standard_input_has_the_settings_of_the_current_folder() {
    let folder = folder(&[("compline.toml", "palette = \"shell\"\n")]);
    let ran = run_with(folder.path(), &["voice", "-", "--to", "json"], TUNE);
    assert!(ran.out.contains("\"palette\":[\"shell\"]"));
}

#[test]
fn a_file_can_be_named_and_be_left_out_of_account() {
    let folder = folder(&[
        ("compline.toml", "reach = 12\n"),
        ("mine.toml", "reach = 13\n[folder.\"sub\"]\nreach = 11\n"),
        ("a.chart", TUNE),
        ("sub/b.chart", TUNE),
    ]);
    let reach = |arguments: &[&str]| {
        let found = settings(folder.path(), arguments);
        let reach = found.iter().map(|s| s["reach"].as_i64().unwrap());
        reach.collect::<Vec<_>>()
    };
    assert_eq!(reach(&["."]), [12, 12]);
    assert_eq!(reach(&[".", "--settings", "mine.toml"]), [13, 11]);
    assert_eq!(reach(&[".", "--no-settings"]), [14, 14]);
    let both = ["voice", ".", "--settings", "mine.toml", "--no-settings"];
    assert_eq!(run(folder.path(), &both).status, 2);
    let missing = run(folder.path(), &["voice", ".", "--settings", "none.toml"]);
    assert_eq!(missing.status, 2);
    assert!(missing.err.contains("none.toml"));
}

#[test]
fn the_nearest_file_counts_alone_and_a_disagreement_is_told_once() {
    let folder = folder(&[
        (
            "compline.toml",
            "reach = 12\nlow = \"E3\"\n[rules]\nmuddy = \"off\"\n",
        ),
        (
            "sets/compline.toml",
            "reach = 13\n[rules]\nmuddy = \"error\"\n",
        ),
        ("sets/a.chart", TUNE),
        ("sets/deep/b.chart", TUNE),
        ("same/compline.toml", "reach = 12\n"),
        ("same/c.chart", TUNE),
    ]);
    let ran = run(folder.path(), &["voice", "--to", "json", "sets", "same"]);
    assert_eq!(ran.status, 0);
    assert_eq!(ran.err.matches("disagree").count(), 1);
    let told = "sets/compline.toml and compline.toml disagree on reach, rules.muddy: \
                sets/compline.toml wins";
    assert!(ran.err.contains(told));
    for line in ran.out.lines() {
        let voiced: Value = serde_json::from_str(line).unwrap();
        assert_eq!(voiced["settings"]["low"], 48);
    }
}

#[test]
fn what_is_wrong_with_a_file_is_told_with_file_line_and_column() {
    for (text, place, said) in [
        ("rech = 12\n", "1:1", "did you mean `reach`?"),
        ("low = \"C3\"\nhigh = \"H4\"\n", "2:8", "`H4` is not a note"),
        ("[rules]\nmudy = \"off\"\n", "2:1", "did you mean `muddy`?"),
        (
            "[rules]\nmuddy = \"loud\"\n",
            "2:9",
            "`loud` is not a severity",
        ),
        ("[rules]\nmuddy = false\n", "2:9", "\"off\""),
        ("limits = \"lore\"\n", "1:10", "there is no table `lore`"),
        (
            "limits = \"bad.txt\"\n",
            "1:10",
            "bad.txt is no table of limits: line 2",
        ),
        ("colour = \"red\"\n", "1:10", "`red` is not a colour"),
        (
            "[folder.\"x\"]\nfolder = 1\n",
            "2:1",
            "there is no setting `folder`",
        ),
        ("[folder.\"/etc\"]\n", "1:9", "not a folder below"),
        ("low = \n", "1:", "this is not TOML"),
        ("low = \"C5\"\n", "1:7", "low, C5, would lie above high, A4"),
        ("reach = 12\nhand = \"200mm\"\n", "2:1", "can't both be set"),
    ] {
        let folder = folder(&[
            ("compline.toml", text),
            ("bad.txt", "name: bad\nm3 X\n"),
            ("a.chart", TUNE),
        ]);
        for command in ["voice", "options", "check"] {
            let ran = run(folder.path(), &[command, "a.chart"]);
            assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{text}");
            assert!(
                ran.err.contains(&format!("--> compline.toml:{place}")),
                "{text}"
            );
            assert!(ran.err.contains(said), "{text}");
        }
    }
}

#[test]
fn a_file_that_can_not_be_read_is_told() {
    let folder = folder(&[("a.chart", TUNE)]);
    fs::write(folder.path().join("compline.toml"), [0xff, 0xfe, b'=']).unwrap();
    let ran = run(folder.path(), &["voice", "a.chart"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("can't read compline.toml"));
    fs::write(
        folder.path().join("compline.toml"),
        "# much\n".repeat(200_000),
    )
    .unwrap();
    let ran = run(folder.path(), &["voice", "a.chart"]);
    assert!(ran.err.contains("there is more of it than 64 KiB"));
}

#[test]
fn an_option_that_contradicts_the_file_is_told() {
    let folder = folder(&[("compline.toml", "high = \"D4\"\n"), ("a.chart", TUNE)]);
    let ran = run(folder.path(), &["voice", "a.chart", "--low", "E4"]);
    assert_eq!(ran.status, 2);
    let told = "with the options and compline.toml together, low, E4, would lie above high, D4";
    assert!(ran.err.contains(told));
}

#[test]
fn a_settings_file_shows_nothing_of_the_files_it_names() {
    let secret = "[remote]\n\ttoken = s3cret-of-the-quay\n";
    let scratch = folder(&[
        ("a.chart", "| C7 |\n"),
        (".keys/token", secret),
        ("notes.txt", secret),
    ]);
    for (name, told) in [
        ("notes.txt", "notes.txt is no table of limits: line 1"),
        (".keys/token", "hidden ones are none"),
    ] {
        let settings = format!("limits = \"{name}\"\n");
        fs::write(scratch.path().join("compline.toml"), settings).unwrap();
        let ran = run(scratch.path(), &["voice", "a.chart"]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""));
        assert!(ran.err.contains(told), "{}", ran.err);
        assert!(
            !ran.err.contains("token =") && !ran.err.contains("s3cret"),
            "{}",
            ran.err
        );
    }
    // Whoever names it on the command line may read it.
    let ran = run(
        scratch.path(),
        &["voice", "a.chart", "--no-settings", "--limits", "notes.txt"],
    );
    assert!(ran.err.contains("token = s3cret"), "{}", ran.err);
}

#[test]
#[cfg(unix)]
fn a_link_in_a_songbook_shows_nothing_of_what_is_no_chart() {
    let scratch = folder(&[
        ("a.chart", "| C7 |\n"),
        (".keys/token", "s3cret\n"),
        ("x.set", "b.chart\n"),
    ]);
    std::os::unix::fs::symlink(".keys/token", scratch.path().join("b.chart")).unwrap();
    for what in [".", "x.set"] {
        let ran = run(scratch.path(), &["check", what]);
        assert_eq!(ran.status, 2, "{what}");
        assert!(
            ran.err.contains("what is no chart by its name"),
            "{}",
            ran.err
        );
        assert!(!ran.err.contains("s3cret"), "{}", ran.err);
    }
}

#[test]
fn the_settings_file_that_holds_is_named_on_request() {
    let scratch = folder(&[
        ("sets/a.chart", "| C7 |\n"),
        ("compline.toml", "low = \"D3\"\n"),
    ]);
    let ran = run(scratch.path(), &["voice", "-v", "sets/a.chart"]);
    assert!(ran.err.contains("settings: compline.toml"), "{}", ran.err);
    let ran = run(scratch.path(), &["voice", "sets/a.chart"]);
    assert_eq!(ran.err, "");
}
