//! Charts out to other formats and in from them, by the program: tune books, every command, bad files.

use std::fs;

use crate::program::{project, run, run_with};

#[test]
fn abc_changes_and_ties_are_carried() {
    let tune = "X:1\nT:Tide\nM:4/4\nL:1/4\nQ:1/4=120\nK:F\n|:\"F\"z3A-|\"Gm\"A2G2-|1\"F\"G4:|2\"A7\"G3A-||\n\
        K:D\nQ:1/4=90\n\"D\"A3B|\"Em\"z2[K:G]G2-|[M:3/4][Q:1/4=144]\"G\"G2G-|\"C\"E3|]\n";
    let ran = run_with(project(), &["convert", "-", "--from", "abc"], tune);
    assert_eq!(
        ran.err,
        "warning: <stdin>, tune 1: 1 change of key within a bar: taken from the next bar on (bar 6)\n\
         warning: <stdin>, tune 1: 1 tie that leads nowhere left out (bar 7)\n"
    );
    insta::assert_snapshot!(ran.out);
}

#[test]
fn old_chords_and_misplaced_instructions_are_read_in_abc() {
    let tune = "X:1\nM:4/4\nL:1/4\nP:AB\nK:G\nP:A\n|\"G\"+B3g/2++Bg+|\"D\"+trill+d2 +ff+A2|\nP:B\n\"G\"g2\nP:D.C.\n\"D7\"f2|]\n";
    let ran = run_with(project(), &["convert", "-", "--from", "abc"], tune);
    assert_eq!(
        ran.out,
        "key: G\nmeter: 4/4\nplay: A B\n\n[A]\n     | G         | D         |\nmel  | G5:3 G5:1 | D5:2 A4:2 |\n\n\
         [B]\n     | G D7       |]\nmel  | G5:2 F#5:2 |\n"
    );
    assert!(
        ran.err.contains("2 lower notes") && ran.err.contains("2 marks"),
        "{}",
        ran.err
    );
}

#[test]
fn what_changes_within_a_measure_changes_with_the_next() {
    let measure = |number: u8, inside: &str| {
        format!(
            "<measure number=\"{number}\">{inside}<note><pitch><step>E</step><octave>5</octave></pitch><duration>2</duration></note></measure>"
        )
    };
    let chord = "<harmony><root><root-step>C</root-step></root><kind>major</kind></harmony>";
    let note = "<note><pitch><step>E</step><octave>5</octave></pitch><duration>2</duration></note>";
    let key = |fifths: i8| {
        format!(
            "<attributes><divisions>1</divisions><key><fifths>{fifths}</fifths></key></attributes>"
        )
    };
    let tempo = |tempo: u16| format!("<direction><sound tempo=\"{tempo}\"/></direction>");
    let measures = [
        measure(1, &[&key(0), &tempo(100), chord, note].concat()),
        measure(2, &[note, &key(2), &tempo(80), &tempo(60)].concat()),
        measure(3, note),
        measure(4, &[&tempo(100), note].concat()),
    ];
    let score = format!(
        "<score-partwise><part id=\"P1\">{}</part></score-partwise>",
        measures.concat()
    );
    let ran = run_with(project(), &["convert", "-"], &score);
    assert_eq!(
        ran.err.matches("taken from the next bar on").count(),
        2,
        "{}",
        ran.err
    );
    let rows = ran
        .out
        .lines()
        .filter(|line| !line.starts_with("mel"))
        .collect::<Vec<_>>();
    assert_eq!(
        rows.join("\n"),
        "key: C\nmeter: 4/4\ntempo: 100\n\n     | C         | %         |\n\n\
         key: D\ntempo: 60\n     | C         |\n\ntempo: 100\n     | C         |"
    );
}

const BOOK: &str = "X:1\nT:The Harbour Wall\nC:trad.\nM:6/8\nQ:3/8=100\nK:G\n\
    D|:\"G\"G2B \"D7/f+\"A2c|\"G\"B3-\"Em\"B2A|1 \"Am\"ABA \"D7\"FED:|2 \"D\"FED \"G\"G3|]\n\n\
    X:2\nT:Rope's End\nM:C|\nL:1/8\nP:ABA\nK:Ddor\nP:A\n\"Dm\"D>E (3FGA \"C\"G4|\nP:B\n\"Dm\"[DFA]8|\n\n\
    X:3\nT:No Words, No Chords\nK:C\nCDEF|\n";

#[test]
fn a_tune_book_becomes_a_folder_of_charts() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("book.abc"), BOOK).unwrap();
    let ran = run(
        folder.path(),
        &["convert", "book.abc", "-o", "out", "--report", "lost.json"],
    );
    assert_eq!(ran.status, 1, "{}", ran.err);
    assert!(
        ran.err.contains("tune 3: this tune has no chord symbols"),
        "{}",
        ran.err
    );
    let chart =
        fs::read_to_string(folder.path().join("out/book-1-the-harbour-wall.chart")).unwrap();
    insta::assert_snapshot!(chart);
    let chart = fs::read_to_string(folder.path().join("out/book-2-ropes-end.chart")).unwrap();
    insta::assert_snapshot!(chart);
    let lost = fs::read_to_string(folder.path().join("lost.json")).unwrap();
    assert!(
        lost.contains("\"kind\":\"lower-notes\",\"text\":"),
        "{lost}"
    );
}

#[test]
fn a_repeat_in_a_repeat_ends_before_its_first_ending() {
    for (music, order) in [
        (
            "|:\"C\"c4|:\"Dm\"d4:|1\"Em\"e4:|2\"F\"f4||",
            "1,2,2,3,1,2,2,4",
        ),
        (
            "|:\"C\"c4|:\"Dm\"d4:|[1\"Em\"e4:|[2\"F\"f4|]",
            "1,2,2,3,1,2,2,4",
        ),
        (
            "|:\"C\"c4|:\"Dm\"d4|1\"Em\"e4:|2\"F\"f4:|1\"G\"g4:|2\"C\"c4|]",
            "1,2,3,2,4,5,1,2,3,2,4,6",
        ),
    ] {
        let tune = format!("X:1\nM:4/4\nL:1/4\nK:C\n{music}\n");
        let ran = run_with(
            project(),
            &["form", "-", "--from", "abc", "--to", "json"],
            &tune,
        );
        assert_eq!(ran.err, "");
        assert!(
            ran.out.contains(&format!("\"played\":[{order}]")),
            "{}",
            ran.out
        );
    }
}

#[test]
fn every_command_takes_a_score() {
    let folder = tempfile::tempdir().unwrap();
    let chart =
        "title: Slip\nkey: C\n[A]\n| 1/4 N.C. | Dm7 | G7 |\nlh | - | F3.A3.C4.E4 | F2.G2.B2 |\n";
    fs::write(folder.path().join("slip.chart"), chart).unwrap();
    let out = run(
        folder.path(),
        &[
            "voice",
            "slip.chart",
            "--to",
            "musicxml",
            "-o",
            "slip.musicxml",
        ],
    );
    assert_eq!(out.status, 0, "{}", out.err);
    fs::remove_file(folder.path().join("slip.chart")).unwrap();
    let checked = run(folder.path(), &["check", "."]);
    assert_eq!(checked.status, 1);
    assert!(
        checked
            .out
            .contains("slip.musicxml, measure 2: bar 3, beat 1"),
        "{}",
        checked.out
    );
    for command in ["voice", "harmony", "form", "tidy", "options", "why"] {
        let ran = run(folder.path(), &[command, "slip.musicxml"]);
        assert!(
            ran.status < 2 && !ran.out.is_empty(),
            "{command}: {}",
            ran.err
        );
    }
    for refused in [["tidy", "--in-place"], ["check", "--mend"]] {
        let ran = run(folder.path(), &[refused[0], "slip.musicxml", refused[1]]);
        assert_eq!(ran.status, 2, "{refused:?}");
        assert!(ran.err.contains("compline convert"), "{}", ran.err);
    }
}

/// The commands that take charts, each with what it needs besides.
const TAKES_CHARTS: &[&str] = &[
    "voice", "options", "why", "check", "harmony", "form", "tidy", "reharm", "convert",
];

#[test]
fn every_command_takes_every_format_by_a_pipe_and_under_any_name() {
    let folder = tempfile::tempdir().unwrap();
    let chart = "title: Slip\nkey: C\n[A]\n| Dm7 | G7 | Cmaj7 |\nmel | F4:4 | B4:4 | E5:4 |\n";
    fs::write(folder.path().join("slip.chart"), chart).unwrap();
    for format in ["musicxml", "midi"] {
        let ran = run(
            folder.path(),
            &["voice", "slip.chart", "--to", format, "-o", format],
        );
        assert_eq!(ran.status, 0);
    }
    let abc = "T:Slip\nM:4/4\nL:1/4\nK:C\n\"Dm7\"F4|\"G7\"B4|\"Cmaj7\"e4|]\n";
    fs::write(folder.path().join("abc"), abc).unwrap();
    for format in ["musicxml", "midi", "abc", "chart"] {
        let name = if format == "chart" {
            "slip.chart"
        } else {
            format
        };
        let bytes = fs::read(folder.path().join(name)).unwrap();
        for command in TAKES_CHARTS {
            // Without a number ABC is told by nothing but its name, and so is nothing else.
            let by_name: &[&str] = match format {
                "abc" => &[command, "abc", "--from", "abc"],
                _ => &[command, name],
            };
            for (arguments, input) in [
                (by_name, &[][..]),
                (&[command, "-", "--from", format], &bytes),
            ] {
                let output = crate::program::compline(folder.path())
                    .args(arguments)
                    .write_stdin(input)
                    .output()
                    .unwrap();
                let told = String::from_utf8_lossy(&output.stderr).into_owned();
                assert!(output.status.code().unwrap() < 2, "{arguments:?}: {told}");
                // A sound chart has no findings, and where a left hand is given nothing is proposed.
                let quiet = matches!(*command, "check" | "reharm") && output.stdout.is_empty();
                let shown = String::from_utf8_lossy(&output.stdout).contains("m7");
                assert!(
                    quiet || shown || *command == "form",
                    "{arguments:?}: {told}"
                );
            }
        }
    }
    // What it is said to be counts more than what it looks like.
    let ran = run(folder.path(), &["voice", "slip.chart", "--from", "midi"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("MIDI file is damaged"), "{}", ran.err);
}

#[test]
fn a_book_on_standard_input_is_all_its_tunes() {
    let ran = run_with(project(), &["form", "-", "--from", "abc"], BOOK);
    assert_eq!(ran.status, 1, "{}", ran.err);
    assert!(ran.err.contains("<stdin>, tune 3"), "{}", ran.err);
    assert!(
        ran.out.contains("The Harbour Wall") && ran.out.contains("Rope's End"),
        "{}",
        ran.out
    );
}

#[test]
fn the_part_with_the_tune_can_be_named() {
    let part = |id: &str, step: &str, chords: &str| {
        format!(
            "<part id=\"{id}\"><measure number=\"1\"><attributes><divisions>1</divisions></attributes>{chords}\
             <note><pitch><step>{step}</step><octave>5</octave></pitch><duration>4</duration></note></measure></part>"
        )
    };
    let chord = "<harmony><root><root-step>C</root-step></root><kind>major</kind></harmony>";
    let score = format!(
        "<score-partwise><part-list><score-part id=\"a\"><part-name>Flute</part-name></score-part>\
         <score-part id=\"b\"><part-name>Horn</part-name></score-part></part-list>{}{}</score-partwise>",
        part("a", "E", chord),
        part("b", "G", "")
    );
    for (arguments, tune) in [
        (&["tidy", "-"][..], "E5:4"),
        (&["tidy", "-", "--part", "horn"], "G5:4"),
    ] {
        let ran = run_with(project(), arguments, &score);
        assert!(ran.out.contains(tune), "{}", ran.out);
    }
    let ran = run_with(project(), &["voice", "-", "--part", "Tuba"], &score);
    assert_eq!(ran.status, 2);
    assert!(
        ran.err
            .contains("there is no part `Tuba` in it, but Flute, Horn"),
        "{}",
        ran.err
    );
}

#[test]
fn findings_in_a_score_name_measure_and_beat_in_every_format() {
    let folder = tempfile::tempdir().unwrap();
    let chart = "title: Slip\nkey: C\n[A]\n| 1/4 N.C. | Dm7 | C / G7 / |\nlh | - | F3.A3.C4.E4 | E3.G3.C4 F2.G2.B2 |\n";
    fs::write(folder.path().join("slip.chart"), chart).unwrap();
    run(
        folder.path(),
        &["voice", "slip.chart", "--to", "musicxml", "-o", "slip.mxl"],
    );
    let ran = run(folder.path(), &["check", "slip.mxl"]);
    assert!(
        ran.out.contains("slip.mxl, measure 2: bar 3, beat 3, G7"),
        "{}",
        ran.out
    );
    let ran = run(folder.path(), &["check", "slip.mxl", "--to", "json"]);
    let place = "\"bar\":3,\"in_file\":\"measure 2\",\"beat\":\"3\",\"symbol\":\"G7\"";
    assert!(ran.out.contains(place), "{}", ran.out);
    let ran = run(folder.path(), &["check", "slip.mxl", "--to", "sarif"]);
    assert!(
        ran.out.contains("measure 2: A, bar 3, beat 3, G7"),
        "{}",
        ran.out
    );
}

#[test]
fn bad_files_are_told_plainly() {
    let measure =
        "<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration></note>";
    let score = |inside: &str| {
        format!(
            "<score-partwise><part id=\"a\"><measure number=\"1\">{inside}</measure></part></score-partwise>"
        )
    };
    let deep = format!("{}{}", "<a>".repeat(100), "</a>".repeat(100));
    let bomb = format!(
        "<!DOCTYPE score-partwise [<!ENTITY a \"x\"><!ENTITY b \"&a;&a;\">]>{}",
        score("<note>&b;</note>")
    );
    let long = format!(
        "<!DOCTYPE score-partwise [<!ENTITY a \"{}\">]>{}",
        "x".repeat(100_000),
        score(&"<words>&a;</words>".repeat(10))
    );
    for (input, status, said) in [
        (
            "<html><body/></html>".to_owned(),
            2,
            "its first element is `html`",
        ),
        (bomb, 2, "entities of a file's own are not read"),
        (long, 2, "entities of a file's own are not read"),
        (score(measure), 1, "has no chord symbols"),
        (score(measure).replace("</part>", ""), 2, "no sound XML"),
        (
            "<score-partwise><part id=\"a\"><measure>".to_owned(),
            2,
            "cut off",
        ),
        (score(&deep), 2, "no score that anybody wrote"),
        ("MThd".to_owned(), 2, "damaged"),
        ("PK\u{3}\u{4}".to_owned(), 2, "can't be unpacked"),
        ("X:1\nK:C\nCDEF|\n".to_owned(), 1, "has no chord symbols"),
        ("?".to_owned(), 2, "--from"),
    ] {
        let ran = run_with(project(), &["convert", "-"], &input);
        assert_eq!(ran.status, status, "{said}: {}", ran.err);
        assert!(ran.err.contains(said), "{said}: {}", ran.err);
        assert!(ran.out.is_empty());
    }
}
