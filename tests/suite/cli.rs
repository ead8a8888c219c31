//! Arguments, exit statuses, streams and files: what is promised to the shell.

use std::fs;

use crate::program::{compline, folder, project, run, run_with};

const TUNE: &str = "title: Slack Water\nkey: C\n| Dm7 | G7 | Cmaj7 | % |\n";

#[test]
fn a_chart_is_voiced_from_a_file_and_from_standard_input_alike() {
    let folder = folder(&[("tune.chart", TUNE)]);
    let file = run(folder.path(), &["voice", "tune.chart"]);
    let piped = run_with(folder.path(), &["voice", "-"], TUNE);
    assert_eq!((file.status, piped.status), (0, 0));
    assert_eq!(file.out, piped.out);
    assert!(file.out.contains("F3.A3.C4.E4"));
    assert_eq!(file.err, "");
}

#[test]
fn what_voice_writes_it_reads_again_unchanged() {
    let folder = folder(&[("tune.chart", TUNE)]);
    let once = run(folder.path(), &["voice", "tune.chart"]);
    let twice = run_with(folder.path(), &["voice", "-"], &once.out);
    assert_eq!(twice.status, 0);
    assert_eq!(once.out, twice.out);
}

#[test]
fn a_given_voicing_is_held_and_the_rest_planned_around_it() {
    let given = "key: C\n   | Dm7 | G7 | Cmaj7 |\nlh | ? | B3.E4.F4.A4 | ? |\n";
    let ran = run_with(folder(&[]).path(), &["voice", "-", "--to", "json"], given);
    let voiced: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let midi = |slot: usize| -> Vec<u64> {
        let notes = voiced["slots"][slot]["voicing"]["notes"]
            .as_array()
            .unwrap();
        notes.iter().map(|n| n["midi"].as_u64().unwrap()).collect()
    };
    assert_eq!(midi(1), [59, 64, 65, 69]);
    assert_eq!(voiced["slots"][1]["voicing"]["given"], true);
    assert_eq!(midi(0), [60, 64, 65, 69]);
    assert_eq!(midi(2), [59, 62, 64, 67]);
    assert_eq!(voiced["totals"]["motion"], 6);
}

#[test]
fn every_mistake_of_a_file_is_shown_with_its_place() {
    let faulty = "key: H\n| Dm7 | Gx7 | C E G |\n";
    let ran = run_with(folder(&[]).path(), &["voice", "-"], faulty);
    assert_eq!(ran.status, 2);
    assert_eq!(ran.out, "");
    for place in ["<stdin>:1:6", "<stdin>:2:", "help:"] {
        assert!(ran.err.contains(place), "{place}");
    }
    assert_eq!(ran.err.matches("error:").count(), 3);
}

#[test]
fn one_bad_chart_does_not_stop_the_rest() {
    let folder = folder(&[("a.chart", "| Zz |\n"), ("b.chart", TUNE)]);
    let ran = run(folder.path(), &["voice", "--to", "json", "."]);
    assert_eq!(ran.status, 2);
    assert_eq!(ran.out.lines().count(), 1);
    assert!(ran.out.contains("Slack Water"));
}

#[test]
fn no_legal_voicing_is_told_with_bar_chord_limit_and_help() {
    let folder = folder(&[("tune.chart", TUNE)]);
    let ran = run(folder.path(), &["voice", "tune.chart", "--high", "D3"]);
    assert_eq!(ran.status, 1);
    assert_eq!(ran.out, "");
    for word in ["bar 1", "Dm7", "help:", "--high"] {
        assert!(ran.err.contains(word), "{word}");
    }
}

#[test]
fn the_loosening_that_is_offered_would_do() {
    let folder = folder(&[("one.chart", "| Dm7 |\n")]);
    let stuck = run(folder.path(), &["voice", "one.chart", "--high", "D3"]);
    let offer = stuck.err.split("this would do: ").nth(1).unwrap();
    let arguments: Vec<&str> = offer.lines().next().unwrap().split(' ').collect();
    let mut all = vec!["voice", "one.chart"];
    all.extend(arguments);
    assert_eq!(run(folder.path(), &all).status, 0);
}

#[test]
fn unreadable_things_exit_with_two_and_say_why() {
    let folder = folder(&[
        ("empty.chart", ""),
        ("tune.chart", TUNE),
        ("bare/readme.txt", "no charts here"),
    ]);
    fs::write(folder.path().join("binary.chart"), [0u8, 159, 146, 150]).unwrap();
    for (arguments, word) in [
        (vec!["voice", "missing.chart"], "missing.chart"),
        (vec!["voice", "empty.chart"], "empty.chart"),
        (vec!["voice", "binary.chart"], "binary.chart"),
        (vec!["voice", "bare"], "no charts"),
        (vec!["voice", "tune.chart", "--key", "H"], "--key"),
        (vec!["voice", "tune.chart", "--key", "Cm"], "mode"),
        (vec!["voice", "tune.chart", "--reach", "wide"], "--reach"),
        (vec!["voice", "tune.chart", "--low", "X9"], "--low"),
        (vec!["voice", "tune.chart", "--low", "C5"], "--low"),
        (vec!["voice", "tune.chart", "--limits", "lore"], "--limits"),
        (
            vec!["voice", "tune.chart", "--palette", "fistful"],
            "--palette",
        ),
        (vec!["voice", "tune.chart", "--to", "song"], "song"),
        (vec!["voice", "-", "-"], "twice"),
        (vec!["voice"], "CHART"),
        (
            vec!["options", "tune.chart", "--bar", "9"],
            "bars are 1 to 4",
        ),
        (vec!["options", "bare"], "folder"),
    ] {
        let ran = run(folder.path(), &arguments);
        assert_eq!(ran.status, 2, "{arguments:?}");
        assert_eq!(ran.out, "", "{arguments:?}");
        assert!(ran.err.contains(word), "{arguments:?}");
    }
}

#[test]
fn an_unwritable_output_leaves_nothing_behind() {
    let folder = folder(&[("tune.chart", TUNE), ("file", "in the way")]);
    let ran = run(
        folder.path(),
        &["voice", "tune.chart", "-o", "file/out.chart"],
    );
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("file/out.chart"));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);
}

#[test]
fn the_same_output_twice_is_refused_before_anything_is_written() {
    let folder = folder(&[("a/x.chart", TUNE), ("b/x.chart", TUNE)]);
    let ran = run(
        folder.path(),
        &["voice", "a/x.chart", "b/x.chart", "-o", "out"],
    );
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("would both be written to"));
    assert!(!folder.path().join("out").exists());
}

#[test]
fn a_folder_is_written_as_a_folder() {
    let folder = folder(&[("set/one.chart", TUNE), ("set/late/two.chart", TUNE)]);
    let ran = run(
        folder.path(),
        &["voice", "set", "-o", "out", "--to", "grid"],
    );
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
    for name in ["out/one.txt", "out/late/two.txt"] {
        let grid = fs::read_to_string(folder.path().join(name)).unwrap();
        assert!(grid.contains("Slack Water"), "{name}");
    }
}

#[test]
fn a_faulty_chart_leaves_the_old_result_alone() {
    let folder = folder(&[
        ("tune.chart", "| Zz |\n"),
        ("out.chart", "the last good one\n"),
    ]);
    let ran = run(folder.path(), &["voice", "tune.chart", "-o", "out.chart"]);
    assert_eq!(ran.status, 2);
    let kept = fs::read_to_string(folder.path().join("out.chart")).unwrap();
    assert_eq!(kept, "the last good one\n");
}

#[test]
fn transposing_moves_symbols_tune_and_hand_by_their_names() {
    let tune = "key: Eb\n    | Abm7 Db7 | Gbmaj7 |\nmel | Eb5:2 F5:2 | Bb4:4 |\n";
    let ran = run_with(folder(&[]).path(), &["voice", "-", "--key", "E"], tune);
    assert_eq!(ran.status, 0);
    for word in ["key: E\n", "Am7", "D7", "Gmaj7", "E5:2", "F#5:2", "B4:4"] {
        assert!(ran.out.contains(word), "{word}");
    }
}

#[test]
fn tidy_checks_and_rewrites_in_place() {
    let folder = folder(&[("tune.chart", TUNE)]);
    let before = run(folder.path(), &["tidy", "--check", "tune.chart"]);
    assert_eq!((before.status, before.out.as_str()), (1, "tune.chart\n"));
    assert_eq!(
        run(folder.path(), &["tidy", "--in-place", "tune.chart"]).status,
        0
    );
    let after = run(folder.path(), &["tidy", "--check", "tune.chart"]);
    assert_eq!((after.status, after.out.as_str()), (0, ""));
}

#[test]
fn chord_goes_on_after_a_symbol_it_can_not_read() {
    let ran = run(
        folder(&[]).path(),
        &["chord", "--to", "json", "Gb7", "Qq", "G7alt"],
    );
    assert_eq!(ran.status, 2);
    let lines: Vec<serde_json::Value> = ran
        .out
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert_eq!(lines[0]["tones"][3]["name"], "Fb");
    assert_eq!(lines[1]["symbol"], "Qq");
    assert!(lines[1]["error"].is_string());
    assert_eq!(
        lines[2]["tensions"],
        serde_json::json!(["b9", "#9", "#11", "b13"])
    );
    assert!(ran.err.contains("Qq"));
}

#[test]
fn options_marks_the_plan_at_price_nothing() {
    let ran = run_with(folder(&[]).path(), &["options", "-", "--to", "json"], TUNE);
    assert_eq!(ran.status, 0);
    for line in ran.out.lines() {
        let slot: serde_json::Value = serde_json::from_str(line).unwrap();
        let options = slot["options"].as_array().unwrap();
        let planned: Vec<_> = options.iter().filter(|o| o["planned"] == true).collect();
        assert_eq!(planned.len(), 1);
        assert_eq!(planned[0]["price"], 0);
    }
}

#[test]
fn limits_say_where_each_number_comes_from() {
    let ran = run(folder(&[]).path(), &["limits"]);
    assert_eq!(ran.status, 0);
    for word in [
        "handbook",
        "series",
        "from memory",
        "computed",
        "Stop when it hurts",
    ] {
        assert!(ran.out.contains(word), "{word}");
    }
}

#[test]
fn a_table_from_a_file_judges() {
    let folder = folder(&[
        ("tune.chart", "| Dm7 |\n"),
        ("strict.txt", "name: strict\nm3 C5\nM3 C5\n"),
        ("bad.txt", "name: bad\nm3 X\n"),
    ]);
    let strict = run(
        folder.path(),
        &[
            "voice",
            "tune.chart",
            "--limits",
            "strict.txt",
            "--palette",
            "rootless",
        ],
    );
    assert_eq!(strict.status, 1);
    let bad = run(
        folder.path(),
        &["voice", "tune.chart", "--limits", "bad.txt"],
    );
    assert_eq!(bad.status, 2);
    assert!(bad.err.contains("bad.txt:2"));
}

#[test]
fn a_wide_reach_comes_with_the_caution() {
    let folder = folder(&[("tune.chart", TUNE)]);
    let wide = run(folder.path(), &["voice", "tune.chart", "--reach", "16"]);
    assert!(wide.err.contains("Stop when it hurts"));
}

#[test]
fn completions_and_the_manual_name_every_command() {
    let scratch = folder(&[]);
    for arguments in [
        vec!["completions", "bash"],
        vec!["completions", "zsh"],
        vec!["man"],
    ] {
        let ran = run(scratch.path(), &arguments);
        assert_eq!(ran.status, 0);
        for command in ["voice", "options", "check", "chord", "tidy", "limits"] {
            assert!(ran.out.contains(command), "{arguments:?}: {command}");
        }
    }
}

#[test]
fn completions_know_rules_techniques_and_shapes() {
    for shell in ["bash", "zsh", "fish"] {
        let script = run(folder(&[]).path(), &["completions", shell]).out;
        for word in [
            "muddy=error",
            "untidy=off",
            "tritone",
            "-backdoor",
            "rootless",
            "guide-tones",
        ] {
            assert!(script.contains(word), "{shell}: {word}");
        }
    }
    // Other values may be typed all the same, and the help isn't made longer by all of them.
    let scratch = folder(&[("a.chart", "| Dm7 | G7 | Cmaj7 |\n")]);
    let both = ["voice", "a.chart", "--palette", "rootless,block"];
    assert_eq!(run(scratch.path(), &both).status, 0);
    assert_eq!(
        run(
            scratch.path(),
            &["reharm", "a.chart", "--ways", "all,-tritone"]
        )
        .status,
        0
    );
    assert!(
        !run(scratch.path(), &["check", "--help"])
            .out
            .contains("untidy=note")
    );
}

#[test]
fn the_short_help_names_the_options_that_commands_share_and_the_long_one_explains_them() {
    for command in ["voice", "options", "why", "check", "reharm", "drill"] {
        let short = run(folder(&[]).path(), &[command, "-h"]).out;
        assert!(short.contains("For every command that voices"), "{command}");
        assert!(
            short.contains("  The hand: --low --high --reach --hand --limits"),
            "{command}"
        );
        assert!(
            !short.contains("Lowest key the left hand may take"),
            "{command}"
        );
        let long = run(folder(&[]).path(), &[command, "--help"]).out;
        assert!(
            long.contains("Lowest key the left hand may take"),
            "{command}"
        );
        assert!(!long.contains("For every command that voices"), "{command}");
    }
}

#[test]
#[cfg(unix)]
fn a_closed_pipe_is_success() {
    use std::process::{Command, Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_compline"))
        .args(["voice", "--to", "json", "charts"])
        .current_dir(project())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    let errors = String::from_utf8(output.stderr).unwrap();
    assert!(
        !errors.contains("panic") && !errors.contains("roken pipe"),
        "{errors}"
    );
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn the_version_is_the_crates() {
    let output = compline(project()).arg("--version").output().unwrap();
    let version = String::from_utf8(output.stdout).unwrap();
    assert_eq!(
        version,
        concat!("compline ", env!("CARGO_PKG_VERSION"), "\n")
    );
}

/// Chords that lie wide: Eb to C needs a hand of 133 mm, Ab to F one of 135 mm.
const WIDE: &str = "title: The long pier\nkey: Fm\n| Fm9 | Bb9 | Fm9 |\n";

#[test]
fn a_hand_is_given_in_any_unit_and_shows_in_the_json() {
    let folder = folder(&[("tune.chart", TUNE)]);
    let settings = |span: &[&str]| -> serde_json::Value {
        let arguments = [&["voice", "tune.chart", "--to", "json"], span].concat();
        let ran = run(folder.path(), &arguments);
        assert_eq!(ran.status, 0);
        let voiced: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        voiced["settings"].clone()
    };
    for span in ["200mm", "20cm", "20.0 cm", "7.9in"] {
        let settings = settings(&["--hand", span]);
        assert_eq!(settings["hand_mm"], 200, "{span}");
        assert!(settings["reach"].is_null(), "{span}");
    }
    let usual = settings(&[]);
    assert_eq!(
        (&usual["reach"], &usual["hand_mm"]),
        (&14.into(), &serde_json::Value::Null)
    );
}

#[test]
fn a_small_hand_gets_thinner_chords_and_hears_which() {
    let folder = folder(&[("wide.chart", WIDE)]);
    let small = run(folder.path(), &["voice", "wide.chart", "--hand", "132mm"]);
    assert_eq!(small.status, 0);
    // Bb9 has an inversion that is neither form and narrow enough.
    let list = "beyond a hand of 132 mm as rootless: Fm9 in bars 1, 3 (guide-tones instead). ";
    assert!(small.err.contains(list));
    assert!(small.err.contains("Stop when it hurts"));
    let larger = run(folder.path(), &["voice", "wide.chart", "--hand", "135mm"]);
    assert_eq!((larger.status, larger.err.as_str()), (0, ""));
    let stuck = run(
        folder.path(),
        &[
            "voice",
            "wide.chart",
            "--hand",
            "132mm",
            "--palette",
            "rootless",
        ],
    );
    assert_eq!(stuck.status, 1);
    assert!(stuck.err.contains("would need a hand of 159 mm"));
    assert!(
        stuck
            .err
            .contains("add the shape guide-tones to the palette")
    );
    assert!(!stuck.err.contains("--hand") && !stuck.err.contains("--reach"));
}

#[test]
fn what_is_no_hand_is_refused() {
    let folder = folder(&[("tune.chart", TUNE)]);
    for (arguments, word) in [
        (vec!["--hand", "200"], "no unit"),
        (vec!["--hand", "big"], "is not a length"),
        (vec!["--hand", "2cm"], "130 mm to 300 mm"),
        (vec!["--hand", "20in"], "130 mm to 300 mm"),
        (vec!["--hand", "200mm", "--reach", "14"], "--reach"),
    ] {
        let arguments = [vec!["voice", "tune.chart"], arguments].concat();
        let ran = run(folder.path(), &arguments);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""));
        assert!(ran.err.contains("--hand") && ran.err.contains(word));
    }
}

#[test]
fn a_major_seventh_under_its_root_is_voiced_with_the_sixth() {
    let chart = "title: Buoy bell\nkey: C\n| Cmaj7 |\nmel | C5:4 |\n";
    let folder = folder(&[("bell.chart", chart)]);
    for colour in ["written", "natural", "altered"] {
        let arguments = ["voice", "bell.chart", "--to", "json", "--colour", colour];
        let ran = run(folder.path(), &arguments);
        assert_eq!(ran.status, 0);
        let voiced: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        let notes = voiced["slots"][0]["voicing"]["notes"].as_array().unwrap();
        assert!(notes.iter().any(|note| note["degree"] == "6"));
        assert!(notes.iter().all(|note| note["degree"] != "7"));
    }
}

#[test]
fn places_are_written_alike_everywhere() {
    let tune = "key: C\n| Dm7 G7 | Cmaj7 | Am7 | Dm7 G7 | C6 |\n";
    let folder = folder(&[("tune.chart", tune)]);
    let bars = |arguments: &[&str]| -> Vec<String> {
        let all = [arguments, &["tune.chart", "--to", "json"]].concat();
        let ran = run(folder.path(), &all);
        assert_eq!(ran.status, 0);
        let slots = ran
            .out
            .lines()
            .map(|line| serde_json::from_str::<serde_json::Value>(line).unwrap());
        slots
            .map(|slot| format!("{} {}", slot["bar"], slot["symbol"].as_str().unwrap()))
            .collect()
    };
    for command in ["options", "why"] {
        assert_eq!(bars(&[command, "--bar", "4.2"]), ["4 G7"]);
        assert_eq!(bars(&[command, "--bar", "2-3"]), ["2 Cmaj7", "3 Am7"]);
        assert_eq!(bars(&[command, "--bar", "1"]), ["1 Dm7", "1 G7"]);
        // Several come in the order of the page, each chord once.
        let several = bars(&[command, "--bar", "4.2,2-3,1.2,3"]);
        assert_eq!(several, ["1 G7", "2 Cmaj7", "3 Am7", "4 G7"]);
    }
    let listed = |place: &str| {
        let arguments = ["reharm", "tune.chart", "--bar", place, "--ways", "tritone"];
        run(folder.path(), &arguments).out
    };
    let heads = |list: String| {
        list.lines()
            .filter(|line| line.contains(":tritone"))
            .count()
    };
    assert_eq!(heads(listed("4.2")), 1);
    assert!(listed("4.2").contains("4.2:tritone  G7 "));
    assert_eq!(heads(listed("4.1")), 0);
    assert!(heads(listed("1-4")) > heads(listed("4")));
    assert_eq!(
        heads(listed("1,4.2")),
        heads(listed("1")) + heads(listed("4.2"))
    );
    // A wish for bars holds in each of them.
    for (wish, slots) in [("2-3:A", [2, 3]), ("3,1.2:A", [1, 3])] {
        let arguments = ["voice", "tune.chart", "--wish", wish, "--to", "json"];
        let wished = run(folder.path(), &arguments);
        let voiced: serde_json::Value = serde_json::from_str(&wished.out).unwrap();
        for slot in slots {
            assert_eq!(voiced["slots"][slot]["voicing"]["form"], "A");
        }
    }
    for (place, word) in [
        ("9", "bars are 1 to 5"),
        ("1-9", "bars are 1 to 5"),
        ("2.2", "bar 2 has one chord"),
        ("1.3", "bar 1 has chords 1 to 2"),
        ("0", "counted from 1"),
        ("x", "no place"),
        ("3-2", "runs backwards"),
        ("1,", "no place"),
        ("1,9", "--bar 9: the written bars are 1 to 5"),
    ] {
        for command in ["options", "why", "reharm"] {
            let ran = run(folder.path(), &[command, "tune.chart", "--bar", place]);
            assert_eq!(ran.status, 2, "{command} {place}");
            assert!(ran.err.contains(word), "{command} {place}");
        }
    }
}
