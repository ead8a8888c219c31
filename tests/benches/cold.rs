//! How long one 32-bar chart takes through the whole program, started cold, against an empty Rust
//! program started the same way. The claim: under 2 ms more.
//!
//! The two are started in turn, so that a change in the machine's speed falls on both.

#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a bench stops short, and prints"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// How often each is started, after a warm-up.
const RUNS: usize = 200;

/// A tune of 32 bars played through, with two chords in many of them.
const CHART: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/charts/lamplight-on-the-quay.chart"
);

fn main() {
    let folder = tempfile::tempdir().expect("a scratch folder");
    let empty = empty_program(folder.path());
    let compline = Path::new(env!("CARGO_BIN_EXE_compline"));
    let mut times = [Vec::new(), Vec::new()];
    for run in 0..RUNS + 10 {
        let pair = [time(&empty, &[]), time(compline, &["voice", CHART])];
        if run >= 10 {
            times
                .iter_mut()
                .zip(pair)
                .for_each(|(all, one)| all.push(one));
        }
    }
    let [empty, voiced] = times.map(median);
    let more = voiced.saturating_sub(empty);
    println!("empty program {empty:.2?}, voice {voiced:.2?}: {more:.2?} more (median of {RUNS})");
}

fn empty_program(folder: &Path) -> PathBuf {
    let source = folder.join("empty.rs");
    std::fs::write(&source, "fn main() {}\n").expect("a source file");
    let program = folder.join("empty");
    let done = Command::new("rustc")
        .args(["-O", "-o"])
        .args([&program, &source])
        .status();
    assert!(done.expect("rustc").success());
    program
}

fn time(program: &Path, arguments: &[&str]) -> Duration {
    let start = Instant::now();
    let status = Command::new(program)
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    assert!(status.expect("the program starts").success());
    start.elapsed()
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort();
    times[times.len() / 2]
}
