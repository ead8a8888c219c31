//! What a shell and a terminal are promised: statuses, streams, colour, and what comes from files that mean no good.

use std::fs;

use crate::check_charts::MUDDY;
use crate::program::{compline, folder, run, run_with};
use crate::typed::{TUNE, status};

/// Whether nothing in it steers a terminal or a build server.
fn harmless(text: &str) -> bool {
    let bidi = |c: char| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    let hidden = |c: char| (c.is_control() && c != '\n' && c != '\t') || bidi(c);
    !text.contains(hidden) && !text.lines().any(|line| line.trim_start().starts_with("::"))
}

#[test]
#[cfg(unix)]
fn what_users_write_never_steers_a_terminal_or_a_build_server() {
    let voiced = "   | Cm7           |\nlh | Eb2.G2.Bb2.D3 |\n";
    let scratch = folder(&[
        ("\u{1b}[2J\n::error::x.chart", MUDDY),
        (
            "::warning::a.chart",
            &format!("title: ::error::pwned\nkey: Bb\n{voiced}"),
        ),
        ("b.chart", &format!("title: a\u{1b}[31mb\n{voiced}")),
        ("c.chart", &format!("title: a\u{85}b\n{voiced}")),
        ("d.chart", &format!("; a\u{202e}b\n{voiced}")),
        ("e.chart", "| C\u{9b}31m | X\u{202e}7 |\n"),
    ]);
    for arguments in [
        &["check", "."][..],
        &["check", ".", "--to", "json"],
        &["check", ".", "--to", "sarif"],
        &["check", ".", "--to", "table"],
        &["check", ".", "--roughest", "9"],
        &["tidy", "--check", "."],
        &["form", "."],
        &["harmony", "."],
        &["voice", ".", "--to", "grid"],
        &["voice", "."],
        &["voice", ".", "-v"],
        &["reharm", "."],
        &["tidy", "::warning::a.chart"],
        &["voice", "\u{1b}[2J.chart"],
        &["voice", "b.chart", "--key", "\u{1b}[2J"],
        &["chord", "C\u{1b}[2J", "::error::", "\u{202e}"],
        &["\u{1b}[2J"],
    ] {
        let ran = run(scratch.path(), arguments);
        assert!(harmless(&ran.out), "{arguments:?}: {:?}", ran.out);
        assert!(harmless(&ran.err), "{arguments:?}: {:?}", ran.err);
    }
    // A name that was meant as one is quoted as an option that there isn't, also in colour.
    let mut command = compline(scratch.path());
    let command = command.env("CLICOLOR_FORCE", "1");
    let told = command
        .args(["voice", "--\u{1b}[2J\u{7}"])
        .output()
        .unwrap();
    assert_eq!(told.status.code(), Some(2));
    assert!(harmless(&String::from_utf8(told.stderr).unwrap()));
    // For programs a name is the name.
    let json = run(scratch.path(), &["check", ".", "--to", "json"]).out;
    let lines = json
        .lines()
        .map(|line| -> serde_json::Value { serde_json::from_str(line).unwrap() });
    let names: Vec<String> = lines.map(|l| l["chart"].to_string()).collect();
    assert!(
        names
            .iter()
            .any(|name| name.contains("\\n::error::x.chart")),
        "{names:?}"
    );
    // Folders have names as well, and other files than charts stand in them.
    let bad = "\u{1b}[2J\n::error::x";
    let inside = scratch.path().join(bad);
    fs::create_dir(&inside).unwrap();
    for (name, text) in [
        ("compline.toml", "lw = 1\n"),
        ("a.chart", TUNE),
        ("x.set", "none.chart\n"),
        ("limits.txt", "x\n"),
        ("known.json", "{"),
    ] {
        fs::write(inside.join(name), text).unwrap();
    }
    fs::write(scratch.path().join("good.chart"), TUNE).unwrap();
    let named = |name: &str| format!("{bad}/{name}");
    let asked: [&[&str]; 6] = [
        &["voice", &named("a.chart")],
        &["voice", &named("x.set")],
        &["voice", "good.chart", "--limits", &named("limits.txt")],
        &["voice", "good.chart", "-o", &named("no/such")],
        &["voice", &named("none.chart")],
        &["check", "good.chart", "--known", &named("known.json")],
    ];
    for arguments in asked {
        let ran = run(scratch.path(), arguments);
        assert_eq!(ran.status, 2, "{arguments:?}");
        assert!(harmless(&ran.err), "{arguments:?}: {:?}", ran.err);
        assert!(
            ran.err.contains("\\u001b[2J\\u000a::error::x"),
            "{arguments:?}"
        );
    }
}

#[test]
fn a_chart_with_hidden_characters_is_refused_at_its_place() {
    for hidden in [
        '\u{1b}', '\u{85}', '\u{9b}', '\u{202e}', '\u{2066}', '\u{2028}', '\u{c}',
    ] {
        let chart = format!("title: Fog{hidden}Bell\n| C |\n");
        let ran = run_with(folder(&[]).path(), &["voice", "-"], &chart);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""));
        let told = format!("control character U+{:04X}", u32::from(hidden));
        assert!(ran.err.contains(&told), "{told}");
        assert!(ran.err.contains("<stdin>:1:11"), "{told}");
    }
}

#[test]
#[cfg(unix)]
fn settings_name_only_files_of_their_own_folder() {
    let outside = folder(&[(
        "secret.txt",
        "name: hush\nthe cellar key is under the mat\n",
    )]);
    let secret = outside.path().join("secret.txt");
    let scratch = folder(&[
        ("book/a.chart", MUDDY),
        ("book/own.txt", "name: own\nm2 F3\n"),
        ("beside.txt", "name: beside\nm2 F3\n"),
    ]);
    let book = scratch.path().join("book");
    std::os::unix::fs::symlink(&secret, book.join("link.txt")).unwrap();
    crate::program::named_pipe(&book.join("pipe"));
    let absolute = secret.display().to_string();
    for key in ["limits", "known"] {
        for name in [
            absolute.as_str(),
            "../beside.txt",
            "link.txt",
            "/dev/zero",
            "pipe",
            "sub/../../beside.txt",
        ] {
            fs::write(book.join("compline.toml"), format!("{key} = \"{name}\"\n")).unwrap();
            for command in ["check", "voice"] {
                let ran = run(&book, &[command, "a.chart"]);
                assert_eq!(ran.status, 2, "{key} {name}");
                assert!(
                    ran.err.contains("no file in the folder of this file"),
                    "{key} {name}"
                );
                assert!(!ran.err.contains("cellar") && !ran.out.contains("cellar"));
            }
        }
    }
    fs::write(book.join("compline.toml"), "limits = \"own.txt\"\n").unwrap();
    assert_ne!(run(&book, &["check", "a.chart"]).status, 2);
    // A settings file that is itself a link out of its folder.
    fs::remove_file(book.join("compline.toml")).unwrap();
    std::os::unix::fs::symlink(&secret, book.join("compline.toml")).unwrap();
    let ran = run(&book, &["check", "a.chart"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("link out of its folder") && !ran.err.contains("cellar"));
    assert_eq!(run(&book, &["check", "a.chart", "--no-settings"]).status, 1);
}

#[test]
fn settings_above_the_repository_are_not_taken() {
    let scratch = folder(&[
        ("compline.toml", "low = \"E3\"\n"),
        ("free/a.chart", TUNE),
        ("repository/.git/HEAD", "ref: refs/heads/main\n"),
        ("repository/songs/a.chart", TUNE),
    ]);
    let low = |chart: &str| -> serde_json::Value {
        let ran = run(scratch.path(), &["voice", chart, "--to", "json"]);
        let voiced: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        voiced["settings"]["low"].clone()
    };
    assert_eq!(low("free/a.chart"), 52);
    assert_eq!(low("repository/songs/a.chart"), 48);
    fs::write(
        scratch.path().join("repository/compline.toml"),
        "low = \"D3\"\n",
    )
    .unwrap();
    assert_eq!(low("repository/songs/a.chart"), 50);
}

#[test]
#[cfg(target_os = "linux")]
fn what_never_ends_is_not_read_to_its_end() {
    let scratch = folder(&[("a.chart", TUNE), ("no-end.set", "folder/zero.chart\n")]);
    let inside = scratch.path().join("folder");
    fs::create_dir(&inside).unwrap();
    std::os::unix::fs::symlink("/dev/zero", inside.join("zero.chart")).unwrap();
    crate::program::named_pipe(&inside.join("pipe.xml"));
    std::os::unix::fs::symlink("pipe.xml", inside.join("link.chart")).unwrap();
    for line in [
        "compline voice /dev/zero",
        "compline check /dev/zero",
        "compline voice - < /dev/zero",
        "compline check - < /dev/zero",
        "compline voice a.chart --limits /dev/zero",
        "compline voice a.chart --settings /dev/zero",
        "compline check a.chart --known /dev/zero",
        "compline voice no-end.set",
        "compline check folder",
    ] {
        let line = format!("ulimit -v 600000; timeout 20 {line}");
        assert_eq!(status(&line, scratch.path()), 2, "{line}");
    }
}

#[test]
#[cfg(unix)]
fn findings_are_told_by_the_status_also_when_the_reader_has_gone() {
    let scratch = folder(&[]);
    for number in 0..600 {
        fs::write(scratch.path().join(format!("{number}.chart")), MUDDY).unwrap();
    }
    for format in ["text", "json", "sarif", "table"] {
        let line = format!("compline check . --to {format} | head -1; exit ${{PIPESTATUS[0]}}");
        assert_eq!(status(&line, scratch.path()), 1, "{line}");
    }
    // Nothing is left to say where the reader of voiced charts has seen enough.
    let line =
        "compline voice . --no-settings --to json 2>/dev/null | head -1; exit ${PIPESTATUS[0]}";
    assert_eq!(status(line, scratch.path()), 0);
}

#[test]
fn quiet_leaves_errors_and_results() {
    let faulty = folder(&[
        ("a.chart", MUDDY),
        ("b.chart", "| Zz |\n"),
        ("c.chart", "| C11 |\n"),
    ]);
    let loud = run(faulty.path(), &["check", "."]);
    let quiet = run(faulty.path(), &["check", ".", "-q"]);
    assert_eq!((loud.status, quiet.status), (2, 2));
    assert_eq!(loud.out, quiet.out);
    assert!(loud.err.contains("findings") && !quiet.err.contains("findings"));
    assert!(quiet.err.contains("error: `Zz`"));
    let loud = run(faulty.path(), &["voice", "c.chart"]);
    let quiet = run(faulty.path(), &["-q", "voice", "c.chart"]);
    assert_eq!(loud.out, quiet.out);
    assert!(loud.err.contains("warning: "));
    assert_eq!(quiet.err, "");
}

#[test]
fn many_charts_give_a_line_for_each_kind_of_warning_and_all_of_them_when_asked() {
    let eleven = "| C11 | F11 | G11 |\n";
    let scratch = folder(&[("a.chart", eleven), ("b.chart", eleven), ("c.chart", TUNE)]);
    let short = run(scratch.path(), &["voice", ".", "--to", "json"]);
    assert_eq!(short.status, 0);
    assert_eq!(short.err.matches("warning: ").count(), 1, "{}", short.err);
    assert!(short.err.contains("in 2 of 3 charts"));
    let long = run(scratch.path(), &["voice", ".", "--to", "json", "-v"]);
    assert_eq!(long.out, short.out);
    assert_eq!(long.err.matches("warning: ").count(), 6, "{}", long.err);
    assert_eq!(
        run(scratch.path(), &["voice", "a.chart"])
            .err
            .matches("warning: ")
            .count(),
        3
    );
}

#[test]
fn colour_is_as_asked_for() {
    let scratch = folder(&[("a.chart", MUDDY)]);
    let coloured = |arguments: &[&str], variables: &[(&str, &str)]| {
        let mut command = compline(scratch.path());
        let output = command
            .args(arguments)
            .envs(variables.iter().copied())
            .output()
            .unwrap();
        output.stdout.contains(&0x1b)
    };
    let check = ["check", "a.chart"];
    let with = |when| ["check", "a.chart", "--color", when];
    assert!(!coloured(&check, &[]));
    assert!(coloured(&with("always"), &[]));
    assert!(coloured(&with("always"), &[("NO_COLOR", "1")]));
    assert!(!coloured(&with("never"), &[("CLICOLOR_FORCE", "1")]));
    assert!(coloured(&check, &[("CLICOLOR_FORCE", "1")]));
    assert!(!coloured(
        &check,
        &[("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")]
    ));
}

#[test]
fn every_command_has_its_manual_page() {
    let scratch = folder(&[]);
    assert_eq!(run(scratch.path(), &["man", "-o", "man/man1"]).status, 0);
    let names = fs::read_dir(scratch.path().join("man/man1")).unwrap();
    let names: Vec<String> = names
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    for name in [
        "compline.1",
        "compline-voice.1",
        "compline-check.1",
        "compline-tidy.1",
    ] {
        assert!(names.iter().any(|found| found == name), "{names:?}");
    }
    for name in names
        .iter()
        .filter(|name| name.starts_with("compline-") && !name.contains("help"))
    {
        let page = fs::read_to_string(scratch.path().join("man/man1").join(name)).unwrap();
        for section in ["NAME", "SYNOPSIS", "EXAMPLES", "FILES", "EXIT STATUS"] {
            assert!(
                page.contains(&format!(".SH {section}"))
                    || page.contains(&format!(".SH \"{section}\"")),
                "{name}: {section}"
            );
        }
    }
    let all = fs::read_to_string(scratch.path().join("man/man1/compline.1")).unwrap();
    assert!(all.contains("SIZES") && all.contains("4000 bars"), "{all}");
    let voice = fs::read_to_string(scratch.path().join("man/man1/compline-voice.1")).unwrap();
    assert!(voice.contains("\n  compline voice tune.chart\n"), "{voice}");
}

#[test]
fn what_is_nearly_a_command_is_suggested_and_no_page_is_of_no_width() {
    for arguments in [&["chekc"][..], &["help", "chekc"]] {
        let ran = run(folder(&[]).path(), arguments);
        assert_eq!(ran.status, 2);
        assert!(ran.err.contains("check"), "{arguments:?}");
    }
    let place = folder(&[("tune.chart", TUNE)]);
    let bare = run(place.path(), &["tune.chart"]);
    assert_eq!(bare.status, 2);
    let tip = "`compline voice tune.chart` writes a left hand";
    assert!(bare.err.contains(tip), "{}", bare.err);
    let help = run(folder(&[]).path(), &["help", "check"]);
    let same = run(folder(&[]).path(), &["check", "--help"]);
    assert_eq!((help.status, help.out), (0, same.out));
    let none = run_with(
        folder(&[]).path(),
        &["voice", "-", "--to", "grid", "--width", "0"],
        TUNE,
    );
    assert_eq!((none.status, none.out.as_str()), (2, ""));
    assert!(none.err.contains("--width"), "{}", none.err);
}
