//! The help: every example in it does what it says when it is typed.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::program::{folder, project, run};

/// The commands, as the program lists them.
fn commands() -> Vec<String> {
    let help = run(project(), &["--help"]).out;
    let listed = help.split("Commands:\n").nth(1).unwrap();
    let lines = listed.lines().take_while(|line| !line.is_empty());
    let names = lines.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let names = names.filter_map(|line| line.split_whitespace().next());
    names
        .filter(|name| *name != "help")
        .map(str::to_owned)
        .collect()
}

/// The examples at the end of a command's help.
fn examples(command: &str) -> Vec<String> {
    let help = run(project(), &[command, "--help"]).out;
    let listed = help.split("\nExamples:\n").nth(1).unwrap_or_default();
    let each = listed.split("\n  # ").skip(1);
    each.map(|example| example.split_once("\n  ").unwrap().1.trim_end().to_owned())
        .collect()
}

/// A tune, and a songbook of voiced charts in their standard layout.
fn scratch() -> tempfile::TempDir {
    let tune = fs::read_to_string(project().join("charts/lamplight-on-the-quay.chart")).unwrap();
    let song = fs::read_to_string(project().join("examples/songbook/songs/slack-water.chart"));
    folder(&[
        ("tune.chart", &tune),
        (
            "evening.set",
            "tune.chart key: F\nsongs/slack-water.chart\n",
        ),
        ("songs/slack-water.chart", &song.unwrap()),
    ])
}

fn typed(line: &str, folder: &Path) -> (i32, String) {
    let program = Path::new(env!("CARGO_BIN_EXE_compline")).parent().unwrap();
    let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap());
    let output = Command::new("bash")
        .args(["-c", &format!("set -o pipefail; {line}")])
        .current_dir(folder)
        .env("PATH", path)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    (output.status.code().unwrap(), told)
}

#[test]
fn every_command_ends_its_help_with_examples_that_work() {
    let commands = commands();
    assert!(commands.len() >= 12, "{commands:?}");
    for command in commands {
        let examples = examples(&command);
        assert!(!examples.is_empty(), "{command} has no examples");
        for line in examples {
            let scratch = scratch();
            let (status, told) = typed(&line, scratch.path());
            assert_eq!(status, 0, "{line}\n{told}");
        }
    }
}

#[test]
fn the_shapes_of_a_palette_are_those_of_the_table() {
    let help = run(project(), &["voice", "--help"]).out;
    for shape in compline::voicing::SHAPES {
        assert!(
            help.contains(&format!("  {}: ", shape.name)),
            "{}",
            shape.name
        );
    }
}
