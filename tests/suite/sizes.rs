//! Input that is too large, and machines that give too little: an error that names the limit, at once
//! and in little memory. The memory is that of the whole process, address space included, since a shell
//! can limit that.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use compline::chart::sizes::{
    LONGEST_BOOK_HEAD, LONGEST_LINE, LONGEST_TEXT, MOST_BARS, MOST_BOOK_BARS, MOST_BYTES,
    MOST_CHORDS, MOST_CHORDS_IN_A_BAR, MOST_CHOSEN_FROM, MOST_DRAWN_NOTES, MOST_EVENTS,
    MOST_JSON_BYTES, MOST_LINES, MOST_MEASURES, MOST_MINUTES, MOST_PLAYED, MOST_REHARMONISED,
    MOST_SYMBOLS, MOST_TUNES,
};

use crate::program::{folder, project, run, run_with};

/// What an unoptimised build on a busy machine may take; a release build needs a twentieth.
const LONG: Duration = Duration::from_secs(30);

/// The status and the messages of a line typed in a shell where the process may have so many kibibytes.
#[cfg(unix)]
fn typed(line: &str, kibibytes: u32, folder: &Path) -> (i32, String) {
    let program = Path::new(env!("CARGO_BIN_EXE_compline")).parent().unwrap();
    let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap());
    let output = Command::new("bash")
        .args(["-c", &format!("ulimit -v {kibibytes}; {line}")])
        .current_dir(folder)
        .env("PATH", path)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let err = String::from_utf8_lossy(&output.stderr).into_owned();
    println!(
        "{line}: {:?}\n{}",
        output.status,
        &err[..err.len().min(2_000)]
    );
    (output.status.code().unwrap_or(-1), err)
}

/// A chart of so many bars, each of its own chord.
fn bars(count: usize) -> String {
    let roots = [
        "C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B",
    ];
    let qualities = ["m7", "7", "maj7", "m7b5", "13", "7alt", "6"];
    let mut chart = String::from("title: Long Watch\n");
    for at in 0..count {
        let end = if at % 4 == 3 { " |\n" } else { " " };
        let (root, quality) = (roots[at * 5 % 12], qualities[at % 7]);
        write!(chart, "| {root}{quality}{end}").unwrap();
    }
    chart
}

#[test]
fn a_chart_that_is_too_large_is_refused_with_the_limit_it_passes() {
    let line = |unit: &str| format!("{}\n", unit.repeat(MOST_BYTES / unit.len() - 1));
    let row = |unit: &str| {
        format!(
            "| C |\nlh | {}\n",
            unit.repeat(MOST_BYTES / unit.len() - 20)
        )
    };
    let sections: String = ('A'..='L')
        .map(|name| format!("[{name}]\n| Dm7 | G7 | Cmaj7 | A7 |\n"))
        .collect();
    let played = |times: usize| {
        format!(
            "play: {}\n{sections}",
            "A B C D E F G H I J K L ".repeat(times)
        )
    };
    let full = "C ".repeat(MOST_CHORDS_IN_A_BAR);
    for (text, limit) in [
        (line("Zz9q "), LONGEST_LINE),
        (line("| Zz9q "), LONGEST_LINE),
        (row("?"), LONGEST_LINE),
        (row("? "), LONGEST_LINE),
        (line("C5:1/64 "), LONGEST_LINE),
        (format!("| C |\n{}", ";\n".repeat(MOST_LINES)), MOST_LINES),
        (bars(120_000), MOST_BARS),
        (bars(MOST_BARS + 1), MOST_BARS),
        (
            format!("meter: 16/4\n{}", format!("| {full} |\n").repeat(626)),
            MOST_CHORDS,
        ),
        (
            format!(
                "meter: 16/4\n| {full} |\n{}",
                "| % | % | % | % |\n".repeat(157)
            ),
            MOST_CHORDS,
        ),
        (format!("| {full}C |\n"), MOST_CHORDS_IN_A_BAR),
        (
            format!("| C |\nmel | {} |\n", "C5:1/32 ".repeat(128)).repeat(MOST_EVENTS / 128 + 1),
            MOST_EVENTS,
        ),
        (
            format!("play: {}\n[A]\n| C |\n", "A ".repeat(MOST_PLAYED + 1)),
            MOST_PLAYED,
        ),
        (played(2_000), MOST_PLAYED),
        (
            format!(
                "play: {}\n[A]\n| C | F | G | C |\n",
                "A ".repeat(MOST_PLAYED)
            ),
            MOST_BARS,
        ),
        (
            format!("meter: 16/4\nplay: {}\n[A]\n| {full} |\n", "A ".repeat(626)),
            MOST_CHORDS,
        ),
    ] {
        let began = Instant::now();
        let ran = run_with(project(), &["voice", "-"], &text);
        assert!(
            began.elapsed() < LONG,
            "{:?}: {}",
            began.elapsed(),
            &text[..40]
        );
        assert_eq!((ran.status, ran.out.as_str()), (2, ""));
        assert!(
            ran.err.contains(&limit.to_string()),
            "{limit}: {}",
            &text[..40]
        );
        assert!(ran.err.len() < 40_000, "{} bytes are told", ran.err.len());
    }
}

#[test]
fn a_file_that_is_too_long_is_read_no_further_than_it_may_be() {
    let scratch = folder(&[("a.chart", &"x".repeat(MOST_BYTES + 1))]);
    let ran = run(scratch.path(), &["voice", "a.chart"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(
        ran.err.contains(&format!("{} MiB", MOST_BYTES >> 20)),
        "{}",
        ran.err
    );
}

#[test]
fn a_chart_as_large_as_it_may_be_is_read() {
    let full = "C ".repeat(MOST_CHORDS_IN_A_BAR);
    let sections: String = ('A'..='L')
        .map(|name| format!("[{name}]\n| Dm7 | G7 | Cmaj7 | A7 |\n"))
        .collect();
    for text in [
        format!("| C |\n{}", ";\n".repeat(MOST_LINES - 1)),
        format!("title: {}\n| C |\n", "x".repeat(LONGEST_LINE - 7)),
        bars(MOST_BARS),
        format!(
            "meter: 16/4\n{}",
            format!("| {full} |\n").repeat(MOST_CHORDS / MOST_CHORDS_IN_A_BAR)
        ),
        format!(
            "play: {}\n{sections}",
            "A B C D E F G H I J K L ".repeat(MOST_BARS / 48)
        ),
    ] {
        let chart = compline::chart::read(&text).unwrap_or_else(|why| panic!("{}", why[0].message));
        assert!(chart.play_order().is_ok(), "{}", &text[..40]);
    }
}

#[test]
fn reharm_says_how_long_a_tune_it_takes() {
    let ran = run_with(project(), &["reharm", "-"], &bars(MOST_REHARMONISED + 1));
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(
        ran.err.contains(&MOST_REHARMONISED.to_string()),
        "{}",
        ran.err
    );
    for choice in [["--changes", "2"], ["--versions", "2"]] {
        let long = bars(MOST_CHOSEN_FROM + 1);
        let ran = run_with(project(), &[&["reharm", "-"], &choice[..]].concat(), &long);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""));
        assert!(
            ran.err.contains(&format!("up to {MOST_CHOSEN_FROM}")),
            "{}",
            ran.err
        );
        // Part of it is not too long.
        let part = [
            &["reharm", "-", "--bar", "1-2", "--ways", "tritone"],
            &choice[..],
        ]
        .concat();
        let ran = run_with(project(), &part, &long);
        assert!(!ran.err.contains("up to"), "{}", ran.err);
    }
    // What was replaced can be taken back, however long the tune is.
    let undone = run_with(
        project(),
        &["reharm", "-", "--undo"],
        &bars(MOST_REHARMONISED + 1),
    );
    assert_eq!(undone.status, 0);
}

#[test]
#[cfg(target_os = "linux")]
fn json_of_no_end_is_refused_in_little_memory() {
    let scratch = folder(&[("a.chart", "| Dm7 | G7 | Cmaj7 |\n")]);
    let voiced = run(scratch.path(), &["voice", "a.chart", "--to", "json"]).out;
    let many = format!("\"played\":[{}0]", "0,".repeat(6_000_000));
    let played = voiced.replace("\"played\":[0,1,2]", &many);
    assert_ne!(played, voiced);
    fs::write(scratch.path().join("played.json"), played).unwrap();
    fs::write(scratch.path().join("lines.json"), "{}\n".repeat(1_000)).unwrap();
    fs::write(scratch.path().join("many.json"), "{}\n".repeat(30_001)).unwrap();
    fs::write(
        scratch.path().join("deep.json"),
        format!("{{\"x\":{}", "[".repeat(4_000_000)),
    )
    .unwrap();
    let most = MOST_CHORDS.to_string();
    for (file, told) in [
        ("played.json", most.as_str()),
        ("deep.json", "a voiced chart"),
        ("lines.json", "900 more lines of JSON"),
        ("many.json", "more than 30000 lines of JSON"),
    ] {
        let began = Instant::now();
        let (status, err) = typed(&format!("compline check {file}"), 400_000, scratch.path());
        assert_eq!(status, 2, "{file}");
        assert!(err.contains(told), "{file}");
        assert!(err.len() < 100_000, "{file}: {} bytes are told", err.len());
        assert!(began.elapsed() < LONG, "{file}: {:?}", began.elapsed());
    }
}

#[test]
#[cfg(unix)]
fn a_number_of_plans_that_nobody_could_read_costs_nothing() {
    let scratch = folder(&[("a.chart", "| Dm7 | G7 | Cmaj7 |\n")]);
    for number in ["101", "1000000000000000000", "18446744073709551616"] {
        let line = format!("compline voice a.chart --alternatives {number} > out.chart");
        let began = Instant::now();
        let (status, err) = typed(&line, 200_000, scratch.path());
        assert!(began.elapsed() < LONG);
        assert_eq!(status, 2, "{err}");
        assert!(err.contains("from 0 to 100 plans"), "{err}");
    }
}

#[test]
#[cfg(target_os = "linux")]
fn few_threads_and_little_memory_are_enough_or_told() {
    let scratch = folder(&[
        ("a.chart", "| Dm7 | G7 | Cmaj7 |\n"),
        ("b.chart", "| Fm7 |\n"),
    ]);
    let alone = run(scratch.path(), &["voice", ".", "--to", "json"]).out;
    for line in [
        "RAYON_NUM_THREADS=100000 compline voice . --to json > out.json",
        "ulimit -u 1; compline voice . --to json > out.json",
        "RAYON_NUM_THREADS=0 compline voice . --to json > out.json",
        "RAYON_NUM_THREADS=x compline voice . --to json > out.json",
    ] {
        let (status, err) = typed(line, 4_000_000, scratch.path());
        assert_eq!((status, err.as_str()), (0, ""), "{line}");
        assert_eq!(
            fs::read_to_string(scratch.path().join("out.json")).unwrap(),
            alone
        );
    }
    let (status, err) = typed(
        "compline voice . --to json > out.json",
        200_000,
        scratch.path(),
    );
    assert_eq!((status, err.as_str()), (0, ""));
}

/// A tune book of so many tunes, each with this music, under a head of so many bytes.
fn book(head: usize, tunes: usize, music: &str) -> String {
    let tune = |number| format!("X:{number}\nT:Bell\nM:4/4\nL:1/4\nK:C\n{music}\n\n");
    let head = format!("%{}\n\n", "x".repeat(head));
    (1..=tunes).fold(head, |book, number| book + &tune(number))
}

/// A score of so many parts, with so many measures each.
fn score(title: &str, parts: usize, measures: usize) -> String {
    let measure =
        "<measure number=\"1\"><harmony><root><root-step>C</root-step></root></harmony></measure>";
    let part = |number| format!("<part id=\"P{number}\">{}</part>", measure.repeat(measures));
    let parts: String = (1..=parts).map(part).collect();
    format!("<score-partwise><movement-title>{title}</movement-title>{parts}</score-partwise>")
}

#[test]
fn a_file_of_another_format_that_is_too_large_is_refused_with_the_limit_it_passes() {
    let scratch = folder(&[]);
    for (name, text, limit) in [
        ("tunes.abc", book(0, MOST_TUNES + 1, "\"C\"C4|"), MOST_TUNES),
        (
            "bars.abc",
            book(0, 100, &"\"C\"C4|".repeat(MOST_BOOK_BARS / 100 + 1)),
            MOST_BOOK_BARS,
        ),
        ("rests.abc", book(0, 100, "\"C\"C4|Z801|"), MOST_BOOK_BARS),
        (
            "head.abc",
            book(LONGEST_BOOK_HEAD, 2, "\"C\"C4|"),
            LONGEST_BOOK_HEAD >> 10,
        ),
        (
            "tune.abc",
            book(0, 1, &"\"C\"C4|".repeat(MOST_BARS + 1)),
            MOST_BARS,
        ),
        (
            "rest.abc",
            book(0, 1, &"\"C\"C4|Z999|".repeat(5)),
            MOST_BARS,
        ),
        (
            "notes.abc",
            book(0, 1, &"C".repeat(MOST_EVENTS + 1)),
            MOST_EVENTS,
        ),
        (
            "title.musicxml",
            score(&"x".repeat(LONGEST_TEXT + 1), 1, 1),
            LONGEST_TEXT >> 10,
        ),
        (
            "entities.musicxml",
            score(&"&lt;".repeat(LONGEST_TEXT + 1), 1, 1),
            LONGEST_TEXT >> 10,
        ),
        ("part.musicxml", score("Bell", 1, MOST_BARS + 1), MOST_BARS),
        (
            "parts.musicxml",
            score("Bell", MOST_MEASURES / 1000 + 1, 1000),
            MOST_MEASURES,
        ),
    ] {
        fs::write(scratch.path().join(name), text).unwrap();
        let (status, err) = typed(&format!("compline convert {name}"), 150_000, scratch.path());
        assert_eq!(status, 2, "{name}");
        assert!(err.contains(&limit.to_string()), "{name}: {limit}");
    }
}

#[test]
fn a_rhythm_that_is_broken_for_ever_is_read() {
    let tune = format!("X:1\nK:C\n\"C7\"C{}D|\n", "<>".repeat(200));
    let ran = run_with(project(), &["convert", "-"], &tune);
    assert_eq!(ran.status, 0);
    assert!(ran.out.contains("C7"), "{}", ran.out);
}

#[test]
fn more_symbols_than_anybody_asks_about_are_refused() {
    let mut asked = vec!["chord"];
    asked.extend(std::iter::repeat_n("C7", MOST_SYMBOLS + 1));
    let ran = run(project(), &asked);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(
        ran.err
            .contains(&format!("more than {MOST_SYMBOLS} symbols")),
        "{}",
        ran.err
    );
}

#[test]
fn settings_of_nothing_but_mistakes_are_refused_at_once() {
    let scratch = folder(&[
        ("a.chart", "| C7 |\n"),
        ("compline.toml", &"=\n".repeat(30_000)),
    ]);
    let began = Instant::now();
    let ran = run(scratch.path(), &["voice", "a.chart"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(
        began.elapsed() < Duration::from_secs(5),
        "{:?}",
        began.elapsed()
    );
}

/// Every wish used to look through the whole chart.
#[test]
fn many_wishes_for_many_bars_take_no_square_of_work() {
    let folder = folder(&[("a.chart", &bars(MOST_BARS))]);
    let wish = format!("1-{MOST_BARS}:top=E4");
    let began = Instant::now();
    let ran = run(
        folder.path(),
        &["voice", "a.chart", "--wish", &wish, "--wish", &wish],
    );
    assert_eq!(ran.status, 1, "{}", ran.err);
    assert!(ran.err.contains("is as wished: `top=E4`"), "{}", ran.err);
    assert!(began.elapsed() < LONG, "{:?}", began.elapsed());
}

#[test]
fn what_is_too_long_to_be_heard_or_drawn_is_refused() {
    let bars = "| Dm7 | G7 | Cmaj7 | A7 |\n";
    let folder = folder(&[
        ("long.chart", &format!("tempo: 60\n{}", bars.repeat(31))),
        (
            "black.chart",
            &format!(
                "meter: 4/4\n{}",
                format!(
                    "{bars}mel |{}\n",
                    format!("{}|", " C5:1/16".repeat(64)).repeat(4)
                )
                .repeat(200)
            ),
        ),
    ]);
    let heard = run(folder.path(), &["voice", "long.chart", "--to", "wav"]);
    assert_eq!((heard.status, heard.out.as_str()), (2, ""));
    let told = format!("a WAV file may last {MOST_MINUTES}");
    assert!(heard.err.contains(&told), "{}", heard.err);
    for format in ["svg", "pdf"] {
        let drawn = run(folder.path(), &["voice", "black.chart", "--to", format]);
        assert_eq!((drawn.status, drawn.out.as_str()), (2, ""));
        let told = format!("pages are drawn for up to {MOST_DRAWN_NOTES}");
        assert!(drawn.err.contains(&told), "{}", drawn.err);
    }
}

#[test]
fn a_line_of_json_that_no_chart_has_is_refused() {
    let long = format!("{{\"title\": \"{}\"}}", "x".repeat(MOST_JSON_BYTES));
    let ran = run_with(project(), &["check", "-"], &long);
    assert_eq!(ran.status, 2);
    let told = format!("the {} MiB a voiced chart may have", MOST_JSON_BYTES >> 20);
    assert!(ran.err.contains(&told), "{}", ran.err);
}
