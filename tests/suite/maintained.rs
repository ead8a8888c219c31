//! What the maintainer of a songbook relies on: names of notes as the chart has them, mending that touches
//! nothing else, records, set lists, manual pages.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::program::{folder, run, run_with};

/// Middle C is C3 in this chart; the last voicing is out of reach.
const OTHER_OCTAVES: &str = "key: C\nmiddle-c: C3\n   | Dm7 | G7 | Cmaj7 |\nmel | A3:4 | D4:4 | B3:4 |\n\
                             lh | F2.A2.C3.E3 | F2.A2.B2.G3 | E2.G2.B2.E4 |\n";

/// The last voicing is out of reach; the one before goes out of its way once that is mended.
const LAST_WRONG: &str = "key: C\n\n     | Dm7         | G7          | Cmaj7       |\n\
                          lh   | F3.A3.C4.E4 | F3.A3.B3.G4 | E3.G3.B3.E5 |\n";

#[test]
fn notes_have_the_names_that_the_chart_has_for_them() {
    let folder = folder(&[("a.chart", OTHER_OCTAVES)]);
    let said = |arguments: &[&str]| run(folder.path(), arguments).out;
    let text = said(&["check", "a.chart"]);
    assert!(text.contains("E4 lies over the range, A3"), "{text}");
    assert!(text.contains("above the melody's B3"), "{text}");
    assert!(text.contains("play E2.G2.B2.D3 instead"), "{text}");
    let log = said(&["check", "a.chart", "--to", "sarif"]);
    assert!(log.contains("play E2.G2.B2.D3 instead"), "{log}");
    let why = said(&["why", "a.chart"]);
    assert!(why.contains("bar 1, beat 1: Dm7  F2 A2 C3 E3"), "{why}");
    assert!(why.contains("C3 down 1 to B2 and E3 up 3 to G3"), "{why}");
    let options = said(&["options", "a.chart", "--bar", "3"]);
    assert!(options.contains("E2 G2 B2 E4"), "{options}");
    // What is for programs always has middle C = C4.
    let json = said(&["check", "a.chart", "--to", "json"]);
    let first: Value = serde_json::from_str(json.lines().next().unwrap()).unwrap();
    assert_eq!(first["notes"][0], "E3");
    assert_eq!(first["mend"]["changes"][0]["notes"][0], "E3");
}

#[test]
fn standard_input_can_be_the_text_of_a_file() {
    let wrong = "key: C\n\n     | Dm7         |\nlh   | F3.A3.C4.E5 |\n";
    let folder = folder(&[
        (
            "songs/compline.toml",
            "[rules]\nmuddy = \"off\"\nuntidy = \"error\"\n",
        ),
        ("songs/a.chart", "key: C\n\n     | Dm7 |\n"),
    ]);
    let check = |arguments: &[&str], text: &str| {
        let all = [&["check", "--stdin-as", "songs/a.chart", "-"], arguments].concat();
        run_with(folder.path(), &all, text)
    };
    // Named as the file, under its folder's settings: here what is untidy is an error.
    let lines = check(&["--to", "lines"], &wrong.replace("     |", " |")).out;
    assert!(lines.contains("songs/a.chart:4:"), "{lines}");
    assert!(lines.contains(": error untidy"), "{lines}");
    let json = check(&["--to", "json"], wrong).out;
    let first: Value = serde_json::from_str(json.lines().next().unwrap()).unwrap();
    assert_eq!(first["chart"], "songs/a.chart");
    let log = check(&["--to", "sarif"], wrong).out;
    assert!(log.contains("\"uri\":\"songs/a.chart\""), "{log}");
    // Findings on record are those of the file.
    let recorded = check(&["--record", "known.json"], wrong);
    assert_eq!(recorded.status, 0, "{}", recorded.err);
    let known = fs::read_to_string(folder.path().join("known.json")).unwrap();
    assert!(known.contains("songs/a.chart"), "{known}");
    assert_eq!(check(&["--known", "known.json"], wrong).status, 0);
    // It is mended to standard output, and the file stays as it is.
    let mended = check(&["--mend"], wrong);
    assert!(mended.out.contains("| F3.A3.C4.E4 |"), "{}", mended.out);
    let file = fs::read_to_string(folder.path().join("songs/a.chart")).unwrap();
    assert_eq!(file, "key: C\n\n     | Dm7 |\n");
    // A file that isn't there will do, and its ending tells the format.
    let abc = "X:1\nK:C\n\"Dm7\"A4|\n";
    let voiced = run_with(
        folder.path(),
        &["voice", "--stdin-as", "songs/no.abc", "-"],
        abc,
    );
    assert_eq!(voiced.status, 0, "{}", voiced.err);
}

#[test]
fn a_name_for_standard_input_that_is_not_read_is_refused() {
    let folder = folder(&[("a.chart", "| Dm7 |\n")]);
    for command in ["check", "voice", "tidy", "why", "harmony"] {
        let ran = run(
            folder.path(),
            &[command, "a.chart", "--stdin-as", "b.chart"],
        );
        assert_eq!(ran.status, 2, "{command}");
        assert!(ran.err.contains("name it with `-`"), "{}", ran.err);
    }
}

#[test]
fn the_next_best_plans_have_the_names_that_the_chart_has_for_their_notes() {
    let chart = "middle-c: C3\n| Dm7 | G7 |\nlh | F2.A2.C3.E3 | ? |\n";
    let folder = folder(&[("a.chart", chart)]);
    let voiced = run(folder.path(), &["voice", "a.chart", "--alternatives", "2"]);
    let second = "number 2, effort +5: bar 2 G7 F2 A2 B2 D3";
    assert!(voiced.out.contains(second), "{}", voiced.out);
}

#[test]
fn what_is_advised_is_what_mends() {
    let folder = folder(&[(
        "a.chart",
        &OTHER_OCTAVES.replace("E2.G2.B2.E4", "E2.G2.B2.D3"),
    )]);
    assert_eq!(run(folder.path(), &["check", "a.chart"]).status, 0);
}

#[test]
fn a_mend_touches_only_what_was_found_at_the_first_look() {
    let folder = folder(&[("a.chart", LAST_WRONG)]);
    let ran = run(folder.path(), &["check", "a.chart", "--mend"]);
    let text = fs::read_to_string(folder.path().join("a.chart")).unwrap();
    assert!(text.contains("| F3.A3.C4.E4 | F3.A3.B3.G4 |"), "{text}");
    assert!(!text.contains("E5"), "{text}");
    assert!(ran.err.contains("1 voicing mended"), "{}", ran.err);
}

#[test]
fn a_chart_that_passes_is_left_alone_unless_notes_fail() {
    let noted = LAST_WRONG.replace("E3.G3.B3.E5", "E3.G3.B3.D4");
    let folder = folder(&[("a.chart", &noted)]);
    let text = || fs::read_to_string(folder.path().join("a.chart")).unwrap();
    let ran = run(folder.path(), &["check", "a.chart"]);
    assert!(ran.out.contains("note[restless-hand]"), "{}", ran.out);
    run(folder.path(), &["check", "a.chart", "--mend"]);
    assert_eq!(text(), noted);
    run(
        folder.path(),
        &["check", "a.chart", "--mend", "--fail-on", "note"],
    );
    assert_ne!(text(), noted);
}

#[test]
fn remarks_are_written_afresh_where_the_chart_had_some() {
    let folder = folder(&[("a.chart", "key: C\n| Dm7 | G7 | Cmaj7 |\n")]);
    let path = folder.path().join("a.chart");
    let voiced = run(folder.path(), &["voice", "a.chart"]).out;
    fs::write(&path, voiced.replacen("F3.A3.C4.E4", "F2.A2.C3.E3", 1)).unwrap();
    run(folder.path(), &["check", "a.chart", "--mend"]);
    assert_eq!(fs::read_to_string(&path).unwrap(), voiced);
    // The layout alone.
    fs::write(&path, voiced.replacen("key: C", "key:C", 1)).unwrap();
    run(folder.path(), &["tidy", "a.chart", "--in-place"]);
    assert_eq!(fs::read_to_string(&path).unwrap(), voiced);
    // In a layout of its own they can only be left out, and that is said.
    let own = voiced.replacen("key: C", "key:C", 1);
    fs::write(&path, own.replacen("F3.A3.C4.E4", "F2.A2.C3.E3", 1)).unwrap();
    let ran = run(folder.path(), &["check", "a.chart", "--mend"]);
    assert!(ran.err.contains("are left out"), "{}", ran.err);
}

#[test]
fn a_misspelt_heading_is_a_finding() {
    let folder = folder(&[("a.chart", "metre: 3/4\n| C |\n")]);
    let lines = run(folder.path(), &["check", "a.chart", "--to", "lines"]);
    assert_eq!(lines.status, 1);
    let start = "a.chart:1:8: warning heading: `metre` is kept, but means nothing here";
    assert!(lines.out.starts_with(start), "{}", lines.out);
    let log = run(folder.path(), &["check", "a.chart", "--to", "sarif"]).out;
    assert!(log.contains("\"ruleId\":\"heading\""), "{log}");
}

#[test]
fn nothing_on_record_is_gone_right_after_it_was_recorded() {
    let faulty = "title: Bilge\nkey: C\n| Dm7 | G7 |\nlh | F2.A2.C3.E3 | F3.A3.B3.E4 |\n";
    let folder = folder(&[("a.chart", faulty)]);
    let json = run(folder.path(), &["voice", "a.chart", "--to", "json"]).out;
    fs::write(folder.path().join("songs.json"), format!("{json}{json}")).unwrap();
    for (name, input) in [("songs.json", ""), ("-", faulty), ("a.chart", "")] {
        let record = ["check", name, "--record", "known.json", "--force"];
        run_with(folder.path(), &record, input);
        let known = ["check", name, "--known", "known.json"];
        let ran = run_with(folder.path(), &known, input);
        assert_eq!(ran.status, 0, "{name}");
        assert!(!ran.err.contains("gone"), "{name}: {}", ran.err);
        assert!(ran.err.contains("known"), "{name}: {}", ran.err);
    }
    // What is really gone is said.
    fs::write(
        folder.path().join("a.chart"),
        faulty.replace("F2.A2.C3.E3", "F3.A3.C4.E4"),
    )
    .unwrap();
    let ran = run(
        folder.path(),
        &["check", "a.chart", "--known", "known.json"],
    );
    assert!(ran.err.contains("on record gone"), "{}", ran.err);
}

#[test]
fn a_set_list_is_checked_in_the_keys_it_asks_for() {
    let folder = folder(&[
        ("a.chart", "key: C\n| Cmaj7 | % |\nlh | E3.G3.B3.D4 | ? |\n"),
        ("low.set", "a.chart  key: A\n"),
        ("own.set", "a.chart\n"),
    ]);
    let own = run(folder.path(), &["check", "own.set"]);
    assert_eq!(own.status, 0);
    let low = run(folder.path(), &["check", "low.set", "--low", "E3"]);
    assert_eq!(low.status, 1, "{}", low.out);
    assert!(low.out.contains("a.chart, in A: bar 1"), "{}", low.out);
    let mended = run(folder.path(), &["check", "low.set", "--mend"]);
    assert_eq!(mended.status, 2);
    assert!(
        mended.err.contains("in the key it is written in"),
        "{}",
        mended.err
    );
}

#[test]
fn every_option_has_a_word_in_the_manual_and_every_page_named_is_there() {
    let folder = folder(&[]);
    assert_eq!(run(folder.path(), &["man", "-o", "pages"]).status, 0);
    let mut pages = 0;
    for entry in fs::read_dir(folder.path().join("pages")).unwrap() {
        let path = entry.unwrap().path();
        let page = fs::read_to_string(&path).unwrap();
        let lines: Vec<&str> = page.lines().collect();
        for pair in lines.windows(3) {
            let bare = pair[0] == ".TP" && pair[1].starts_with("\\fB") && pair[2].trim().is_empty();
            assert!(!bare, "{}: {}", path.display(), pair[1]);
        }
        assert!(!page.contains("compline\\-help"), "{}", path.display());
        pages += 1;
    }
    assert!(pages > 10);
    let settings = fs::read_to_string(folder.path().join("pages/compline.toml.5")).unwrap();
    for word in ["[rules]", "[surcharges]", "[folder.\"NAME\"]", "\nreach = "] {
        assert!(settings.contains(word), "{word}");
    }
}

#[test]
fn which_reading_was_taken_is_a_sentence() {
    let folder = folder(&[("a.chart", "| H7 | (B) | c |\n")]);
    let said = run(folder.path(), &["check", "a.chart"]).out;
    assert!(said.contains("`H7` is read with H as B natural"), "{said}");
    assert!(
        said.contains("`(B)` is read as a chord that is played"),
        "{said}"
    );
    assert!(!said.contains(" is read as played"), "{said}");
}

#[test]
fn a_left_hand_is_written_into_the_chart_itself() {
    let folder = folder(&[("a.chart", "key: C\n; mine\n| Dm7 | G7 |\n")]);
    let ran = run(folder.path(), &["voice", "a.chart", "--in-place"]);
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
    let text = fs::read_to_string(folder.path().join("a.chart")).unwrap();
    assert!(
        text.contains("; mine\n") && text.contains("lh   | F3.A3.C4.E4"),
        "{text}"
    );
    let again = run(folder.path(), &["voice", "a.chart", "-o", "a.chart"]);
    assert_eq!(again.status, 2);
    assert!(again.err.contains("--in-place"), "{}", again.err);
    let refused = run(
        folder.path(),
        &["voice", "a.chart", "--in-place", "--to", "json"],
    );
    assert_eq!(refused.status, 2);
}

#[test]
fn a_read_only_chart_keeps_no_other_from_being_mended() {
    let folder = folder(&[("a.chart", LAST_WRONG), ("b.chart", LAST_WRONG)]);
    let first = folder.path().join("a.chart");
    let mut rights = fs::metadata(&first).unwrap().permissions();
    rights.set_readonly(true);
    fs::set_permissions(&first, rights).unwrap();
    let ran = run(folder.path(), &["check", ".", "--mend"]);
    assert_eq!(ran.status, 2);
    assert_eq!(fs::read_to_string(&first).unwrap(), LAST_WRONG);
    assert_ne!(
        fs::read_to_string(folder.path().join("b.chart")).unwrap(),
        LAST_WRONG
    );
    assert!(ran.err.contains("1 voicing mended"), "{}", ran.err);
    assert!(
        ran.err.contains("1 chart could not be written"),
        "{}",
        ran.err
    );
}

#[test]
fn what_cant_be_read_is_told_in_every_format_at_its_place() {
    let folder = folder(&[("a.chart", "key: X\n| Cq7 |\n"), ("b.chart", "| C |\n")]);
    let lines = run(folder.path(), &["check", ".", "--to", "lines"]);
    assert_eq!(lines.status, 2);
    assert!(
        lines.out.contains("a.chart:1:6: error unreadable: "),
        "{}",
        lines.out
    );
    assert!(lines.out.contains("a.chart:2:"), "{}", lines.out);
    let json = run(folder.path(), &["check", ".", "--to", "json"]).out;
    let first: Value = serde_json::from_str(json.lines().next().unwrap()).unwrap();
    assert_eq!(
        (&first["rule"], &first["line"]),
        (&Value::from("unreadable"), &Value::from(1))
    );
    let log = run(folder.path(), &["check", ".", "--to", "sarif"]).out;
    let log: Value = serde_json::from_str(&log).unwrap();
    let told = &log["runs"][0]["invocations"][0]["toolExecutionNotifications"];
    assert_eq!(told.as_array().unwrap().len(), 2);
    let place = &told[0]["locations"][0]["physicalLocation"];
    assert_eq!(place["region"]["startColumn"], 6);
}

#[test]
fn a_waiver_that_is_waived_already_is_of_no_use_and_what_is_waived_is_counted() {
    let chart =
        "; waive muddy: low on purpose\nkey: C\n| Em7 | ; waive muddy: so\nlh | D3.E3.G3 |\n";
    let folder = folder(&[
        ("a.chart", chart),
        (
            "b.chart",
            &chart.replacen("; waive muddy: low on purpose\n", "", 1),
        ),
    ]);
    let twice = run(folder.path(), &["check", "a.chart"]);
    assert!(twice.out.contains("warning[waiver]"), "{}", twice.out);
    let once = run(folder.path(), &["check", "b.chart"]);
    assert_eq!((once.status, once.out.as_str()), (0, ""));
    assert!(once.err.contains("1 waived"), "{}", once.err);
    let more = run(folder.path(), &["check", "b.chart", "-v"]);
    assert!(
        more.err.contains("b.chart: 1 of 1 chord voiced"),
        "{}",
        more.err
    );
    let colon = run_with(
        folder.path(),
        &["check", "-"],
        "| Em7 | ; waive muddy low on purpose\n",
    );
    assert_eq!(colon.out.matches("[waiver]").count(), 1, "{}", colon.out);
}

#[test]
fn several_results_go_into_no_file() {
    let folder = folder(&[("a.chart", "| C |\n"), ("b.chart", "| F |\n")]);
    let ran = run(
        folder.path(),
        &[
            "voice",
            "a.chart",
            "b.chart",
            "--to",
            "musicxml",
            "-o",
            "t.musicxml",
        ],
    );
    assert_eq!(ran.status, 2);
    assert!(!folder.path().join("t.musicxml").exists());
    assert!(ran.err.contains("2 charts go into a folder"), "{}", ran.err);
}

#[test]
fn json_is_no_chart_and_that_is_all_that_is_said() {
    let folder = folder(&[("a.json", "{\"format\": \"compline-voiced\"}\n")]);
    let ran = run(folder.path(), &["voice", "a.json"]);
    assert_eq!(ran.status, 2);
    assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
    assert!(
        ran.err.contains("this is JSON, and no chart"),
        "{}",
        ran.err
    );
}

#[test]
#[cfg(unix)]
fn a_link_to_a_folder_elsewhere_is_told_and_a_chart_in_capitals_is_one() {
    use std::os::unix::fs::symlink;
    let folder = folder(&[("book/A.CHART", LAST_WRONG), ("other/b.chart", LAST_WRONG)]);
    symlink("../other", folder.path().join("book/more")).unwrap();
    let ran = run(folder.path(), &["check", "book"]);
    assert_eq!(ran.status, 1);
    assert!(ran.out.contains("book/A.CHART:4"), "{}", ran.out);
    assert!(
        ran.err
            .contains("book/more is a link to a folder elsewhere"),
        "{}",
        ran.err
    );
}

#[test]
fn settings_that_json_was_voiced_under_are_told_where_they_are_others() {
    let folder = folder(&[("a.chart", "key: C\n| Dm7 | G7 |\n")]);
    let voiced = [
        "voice", "a.chart", "--to", "json", "--low", "E3", "-o", "a.json",
    ];
    run(folder.path(), &voiced);
    let ran = run(folder.path(), &["check", "a.json"]);
    assert!(ran.err.contains("under another low,"), "{}", ran.err);
    assert_eq!(
        run(folder.path(), &["check", "a.json", "--low", "E3"]).err,
        ""
    );
}

/// The fuzz targets take files of the program in, and are a workspace of their own that is seldom built.
#[test]
fn the_fuzz_targets_have_every_crate_that_the_program_uses() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let read = |path: &str| fs::read_to_string(root.join(path)).unwrap();
    let manifest = read("Cargo.toml");
    let (_, rest) = manifest.split_once("\n[dependencies]\n").unwrap();
    let names = rest.lines().take_while(|line| !line.is_empty());
    let names: Vec<&str> = names.filter_map(|line| line.split(' ').next()).collect();
    let fuzz = read("tests/fuzz/Cargo.toml");
    let mut program = String::new();
    let mut folders = vec![root.join("src/cli")];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            match path.is_dir() {
                true => folders.push(path),
                false => program += &fs::read_to_string(path).unwrap(),
            }
        }
    }
    let used = |name: &&str| program.contains(&format!("{}::", name.replace('-', "_")));
    let used: Vec<&str> = names.into_iter().filter(used).collect();
    assert!(
        used.contains(&"clap") && used.contains(&"memchr"),
        "{used:?}"
    );
    for name in used {
        assert!(fuzz.contains(&format!("\n{name} = ")), "{name}");
    }
}
