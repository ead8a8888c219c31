//! Every command the README shows prints what the README says.
//!
//! To write the outputs in again after a change: `COMPLINE_README=write cargo test --test suite readme`,
//! then read the difference.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::program::project;

/// What `$ ` and the `> ` lines after it say, and what stands below them.
struct Shown {
    command: String,
    output: String,
}

#[test]
fn every_command_in_the_readme_prints_what_it_shows() {
    let path = project().join("README.md");
    let readme = fs::read_to_string(&path).unwrap();
    let mut parts = readme.split("```console\n");
    let mut written = parts.next().unwrap().to_owned();
    for part in parts {
        let (block, after) = part.split_once("```").unwrap();
        written.push_str("```console\n");
        for shown in commands(block) {
            let prompt = shown.command.replace('\n', "\n> ");
            let output = run(&shown.command);
            written.push_str(&format!("$ {prompt}\n{output}"));
        }
        written.push_str("```");
        written.push_str(after);
    }
    if std::env::var_os("COMPLINE_README").is_some() {
        fs::write(path, written).unwrap();
    } else {
        similar(&readme, &written);
    }
}

#[test]
fn the_readme_is_short() {
    let readme = fs::read_to_string(project().join("README.md")).unwrap();
    assert!(readme.len() <= 16 << 10, "{} bytes", readme.len());
}

/// Both texts, line for line, so that a failure shows where.
fn similar(shown: &str, printed: &str) {
    for (number, (shown, printed)) in (1..).zip(shown.lines().zip(printed.lines())) {
        assert_eq!(shown, printed, "README.md:{number}");
    }
    assert_eq!(shown.lines().count(), printed.lines().count());
}

fn commands(block: &str) -> Vec<Shown> {
    let mut all: Vec<Shown> = Vec::new();
    for line in block.lines() {
        match (line.strip_prefix("$ "), line.strip_prefix("> ")) {
            (Some(command), _) => all.push(Shown {
                command: command.to_owned(),
                output: String::new(),
            }),
            (None, Some(more)) if all.last().is_some_and(|last| last.output.is_empty()) => {
                let command = &mut all.last_mut().unwrap().command;
                *command = format!("{command}\n{more}");
            }
            _ => all.last_mut().expect("a command first").output += line,
        }
    }
    all
}

fn run(command: &str) -> String {
    let program = Path::new(env!("CARGO_BIN_EXE_compline"));
    let path = std::env::var("PATH").unwrap();
    let path = format!("{}:{path}", program.parent().unwrap().display());
    let output = Command::new("sh")
        .args(["-c", &format!("exec 2>&1; {command}")])
        .current_dir(project())
        .env("PATH", path)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    String::from_utf8(output.stdout).unwrap()
}
