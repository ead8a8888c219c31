//! `check` from outside: what is read, and what becomes of the rest where something can't be.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::check_charts::{GOOD, MUDDY, lines, rules_of};
use crate::program::{compline, folder, project, run, run_with};

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
