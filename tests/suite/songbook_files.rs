//! What `examples/songbook` offers to be copied: the settings, the hook, the workflow and the charts.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::program::{folder, project, run};

const MUDDY: &str = "title: Bilge\nkey: Bb\n\n     | Cm7           | F7           |\n\
                     lh   | Eb2.G2.Bb2.D3 | Eb3.G3.A3.D4 |\n";

/// The songbook, copied.
fn copy() -> tempfile::TempDir {
    let scratch = folder(&[]);
    let from = project().join("examples/songbook");
    let copied = Command::new("cp")
        .arg("-r")
        .arg(from)
        .arg(scratch.path())
        .status();
    assert!(copied.unwrap().success());
    scratch
}

/// Types a line in a folder, with the program on the path.
fn typed(line: &str, folder: &Path) -> (i32, String) {
    let program = Path::new(env!("CARGO_BIN_EXE_compline")).parent().unwrap();
    let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap());
    let output = Command::new("sh")
        .args(["-c", &format!("exec 2>&1; {line}")])
        .current_dir(folder)
        .env("PATH", path)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    (output.status.code().unwrap(), said)
}

#[test]
fn its_charts_are_clean_under_its_settings_and_not_without() {
    let book = project().join("examples/songbook");
    let ran = run(&book, &["check", "."]);
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
    let waived = run(&book, &["check", ".", "--to", "json"]).out;
    assert!(waived.contains("low on purpose"), "{waived}");
    let bare = run(&book, &["check", ".", "--no-settings"]);
    assert_eq!(bare.status, 1);
    assert!(bare.out.contains("out-of-range"));
    assert_eq!(run(&book, &["tidy", "--check", "."]).status, 0);
}

#[test]
fn its_ballads_have_settings_of_their_own() {
    for (folder, severity) in [("", "warning"), ("songs/ballads", "error")] {
        let folder = project().join("examples/songbook").join(folder);
        let rules = run(&folder, &["check", "--rules", "--to", "json"]).out;
        let muddy = rules
            .lines()
            .find(|line| line.contains("\"muddy\""))
            .unwrap();
        assert!(
            muddy.contains(&format!("\"severity\":\"{severity}\"")),
            "{muddy}"
        );
    }
}

#[test]
fn its_settings_can_all_be_in_force() {
    let text = fs::read_to_string(project().join("examples/songbook/compline.toml")).unwrap();
    // Those that say the same thing twice, or name a file that isn't there, stay out.
    let apart = ["# hand", "# known"];
    let lines = text.lines().map(|line| match line.strip_prefix("# ") {
        Some(setting) if setting.contains(" = ") && !apart.iter().any(|a| line.starts_with(a)) => {
            setting
        }
        _ => line,
    });
    let all: String = lines.map(|line| format!("{line}\n")).collect();
    assert!(
        all.contains("\nloop = true") && all.contains("\ncount-bass = 2"),
        "{all}"
    );
    let folder = folder(&[
        ("compline.toml", &all),
        ("a.chart", "key: C\n| Dm7 | G7 |\n"),
    ]);
    let ran = run(folder.path(), &["voice", "a.chart", "--to", "json"]);
    assert_eq!(ran.status, 0);
    for part in [
        "\"loop\":true",
        "\"count_bass\":2",
        "\"ignore_melody\":true",
    ] {
        assert!(ran.out.replace(": ", ":").contains(part), "{part}");
    }
}

/// The songbook under the guard of its hook; `None` where there is no git.
fn guarded() -> Option<tempfile::TempDir> {
    if Command::new("git").arg("--version").output().is_err() {
        eprintln!("SKIPPED: there is no git here");
        return None;
    }
    let scratch = copy();
    let told = typed(
        "git init -q . && git config user.name Quay && git config user.email quay@example.org && \
         cp pre-commit .git/hooks/pre-commit && git add -A && git commit -qm 'The songbook'",
        &scratch.path().join("songbook"),
    );
    assert_eq!(told.0, 0, "{}", told.1);
    Some(scratch)
}

#[test]
fn its_hook_stops_a_faulty_commit_and_lets_a_good_one_pass() {
    let Some(scratch) = guarded() else { return };
    let book = scratch.path().join("songbook");
    // Names that look like an option, and that have spaces in them.
    for name in ["--mend.chart", "low tide.chart"] {
        fs::write(book.join(name), MUDDY).unwrap();
        let (status, said) = typed(&format!("git add -A && git commit -qm {name:?}"), &book);
        assert_ne!(status, 0, "{said}");
        assert!(
            said.contains("out-of-range") && said.contains(name),
            "{said}"
        );
        fs::remove_file(book.join(name)).unwrap();
    }
    let tidy = fs::read_to_string(book.join("songs/slack-water.chart")).unwrap();
    fs::write(book.join("a new song.chart"), tidy).unwrap();
    let (status, said) = typed("git add -A && git commit -qm 'A new song'", &book);
    assert_eq!(status, 0, "{said}");
    fs::remove_file(book.join("a new song.chart")).unwrap();
    let (status, said) = typed("git add -A && git commit -qm 'Taken out again'", &book);
    assert_eq!(status, 0, "{said}");
    // A link to a chart has a path in it and no chart.
    let link = "ln -s songs/slack-water.chart 'slack water.chart' && git add -A && git commit -qm 'A link'";
    let (status, said) = typed(link, &book);
    assert_eq!(status, 0, "{said}");
}

#[test]
fn its_hook_looks_at_what_is_staged_under_the_settings_of_its_folder() {
    let Some(scratch) = guarded() else { return };
    let book = scratch.path().join("songbook");
    let song = book.join("songs/bilge.chart");
    let tidy = fs::read_to_string(book.join("songs/slack-water.chart")).unwrap();
    // Put right in the folder alone: what would be committed is still wrong.
    fs::write(&song, MUDDY).unwrap();
    assert_eq!(typed("git add -A", &book).0, 0);
    fs::write(&song, &tidy).unwrap();
    let (status, said) = typed("git commit -qm 'Bilge'", &book);
    assert_ne!(status, 0, "{said}");
    assert!(said.contains("songs/bilge.chart:5"), "{said}");
    // Wrong in the folder alone: what is committed is right.
    assert_eq!(typed("git add -A", &book).0, 0);
    fs::write(&song, MUDDY).unwrap();
    let (status, said) = typed("git commit -qm 'Bilge'", &book);
    assert_eq!(status, 0, "{said}");
    // The ballads have a lower range of their own.
    let low = "title: Low Water\nkey: Bb\n\n     | Cm7           |\nlh   | Bb2.Eb3.G3 |\n";
    fs::write(book.join("songs/ballads/low.chart"), low).unwrap();
    let (status, said) = typed("git add songs/ballads && git commit -qm 'Low'", &book);
    assert_eq!(status, 0, "{said}");
}

#[test]
fn the_commands_of_its_workflow_pass_and_fail_as_they_should() {
    let scratch = copy();
    let book = scratch.path().join("songbook");
    let workflow = fs::read_to_string(book.join("workflow.yml")).unwrap();
    let steps = workflow
        .lines()
        .filter_map(|line| line.trim().strip_prefix("- run: "));
    let own: Vec<&str> = steps.filter(|step| step.starts_with("compline ")).collect();
    assert_eq!(own.len(), 2, "{own:?}");
    for step in &own {
        let (status, said) = typed(step, &book);
        assert_eq!(status, 0, "{step}: {said}");
    }
    fs::write(book.join("songs/bilge.chart"), MUDDY).unwrap();
    let (status, _) = typed(own[1], &book);
    assert_eq!(status, 1);
    let log = fs::read_to_string(book.join("findings.sarif")).unwrap();
    let log: serde_json::Value = serde_json::from_str(&log).unwrap();
    let results = log["runs"][0]["results"].as_array().unwrap();
    assert!(
        results
            .iter()
            .any(|result| result["ruleId"] == "out-of-range")
    );
    // The file that is uploaded is the one that is written.
    assert!(workflow.contains("sarif_file: findings.sarif"));
}
