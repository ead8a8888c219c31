//! Charts a second over a whole songbook, charts in and JSON out, on one core and on two.
//!
//! Wants a folder of charts: `COMPLINE_DATA=FOLDER cargo bench --bench songbook`, where
//! `FOLDER/charts-billboard` holds them; without one it measures the demo charts.

#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a bench stops short, and prints"
)]

use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// How often each is run, after one warm-up.
const RUNS: usize = 7;

fn main() {
    let folder = songbook();
    let charts = std::fs::read_dir(&folder).expect("a songbook").count();
    let mut times = [Vec::new(), Vec::new()];
    for run in 0..=RUNS {
        for (all, threads) in times.iter_mut().zip(["1", "2"]) {
            let took = time(&folder, threads);
            if run > 0 {
                all.push(took);
            }
        }
    }
    let [one, two] = times.map(median);
    let rate = |time: Duration| charts as f64 / time.as_secs_f64();
    println!(
        "{charts} charts: {:.0} a second on one core, {:.0} on two: {:.2} times (median of {RUNS})",
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

fn time(folder: &PathBuf, threads: &str) -> Duration {
    let start = Instant::now();
    Command::new(env!("CARGO_BIN_EXE_compline"))
        .args(["voice", "--to", "json"])
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
