//! Charts a second over a whole songbook, on one core and on two: voiced, charts in and JSON out; and
//! checked, voiced charts in and findings out.
//!
//! Wants a folder of charts: `COMPLINE_DATA=FOLDER cargo bench --bench songbook`, where
//! `FOLDER/charts-billboard` holds them; without one it measures the demo charts.

#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a bench stops short, and prints"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// How often each is run, after one warm-up.
const RUNS: usize = 7;

fn main() {
    let folder = songbook();
    measure("voiced", &["voice", "--to", "json"], &folder);
    let voiced = tempfile::tempdir().expect("a scratch folder");
    let told = program(&["voice", "-o"])
        .arg(voiced.path())
        .arg(&folder)
        .output();
    // A chart that can't be read is told, and the rest is voiced.
    told.expect("the program starts");
    measure("checked", &["check", "--to", "json"], voiced.path());
}

fn measure(done: &str, arguments: &[&str], folder: &Path) {
    let charts = std::fs::read_dir(folder).expect("a songbook").count();
    let mut times = [Vec::new(), Vec::new()];
    for run in 0..=RUNS {
        for (all, threads) in times.iter_mut().zip(["1", "2"]) {
            let took = time(arguments, folder, threads);
            if run > 0 {
                all.push(took);
            }
        }
    }
    let [one, two] = times.map(median);
    let rate = |time: Duration| charts as f64 / time.as_secs_f64();
    println!(
        "{charts} charts {done}: {:.0} a second on one core, {:.0} on two: {:.2} times (median of {RUNS})",
        rate(one),
        rate(two),
        one.as_secs_f64() / two.as_secs_f64()
    );
}

fn songbook() -> PathBuf {
    match std::env::var_os("COMPLINE_DATA") {
        Some(data) => PathBuf::from(data).join("charts-billboard"),
        None => PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("charts"),
    }
}

fn program(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_compline"));
    command.args(arguments);
    command
}

fn time(arguments: &[&str], folder: &Path, threads: &str) -> Duration {
    let start = Instant::now();
    program(arguments)
        .arg(folder)
        .env("RAYON_NUM_THREADS", threads)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .expect("the program starts");
    start.elapsed()
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort();
    times[times.len() / 2]
}
