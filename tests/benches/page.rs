//! How fast pages are made. The claims: a 32-bar page in 20 ms, drawn and written as PDF from an arrangement that is
//! there; a set list of 100 tunes to one PDF in 2 s, through the whole program.

#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a bench stops short, and prints"
)]

use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use compline::arrange::{Cache, Settings, arrange};
use compline::chart;
use compline::formats::page::{PageOptions, draw, pdf};

/// How often each is done.
const RUNS: usize = 50;
const SETS: usize = 5;
const TUNES: usize = 100;

fn main() {
    let project = Path::new(env!("CARGO_MANIFEST_DIR"));
    let charts = project.join("charts");
    let source = std::fs::read_to_string(project.join("tests/page/charts/thirty-two-bars.chart"));
    let chart = chart::read(&source.expect("a chart")).expect("a chart without mistakes");
    let arrangement =
        arrange(chart, &Settings::default(), &mut Cache::default()).expect("a left hand");
    let page = median((0..RUNS).map(|_| {
        let begun = Instant::now();
        let bytes = pdf(&draw(&arrangement, &PageOptions::default()));
        assert!(bytes.starts_with(b"%PDF"));
        begun.elapsed()
    }));
    println!("one page of 32 bars: {page:.2?} (median of {RUNS})");

    let folder = tempfile::tempdir().expect("a scratch folder");
    let list = set_list(&charts);
    std::fs::write(folder.path().join("all.set"), list).expect("a set list");
    let set = median((0..SETS).map(|_| {
        let begun = Instant::now();
        let done = Command::new(env!("CARGO_BIN_EXE_compline"))
            .args(["voice", "all.set", "-q", "--to", "pdf", "-o", "all.pdf"])
            .current_dir(folder.path())
            .status();
        assert!(done.expect("the program starts").success());
        begun.elapsed()
    }));
    println!("{TUNES} tunes to one PDF: {set:.2?} (median of {SETS})");
}

/// The demo charts over and over.
fn set_list(charts: &Path) -> String {
    let entries = std::fs::read_dir(charts).expect("the demo charts");
    let mut paths: Vec<_> = entries
        .map(|entry| entry.expect("an entry").path())
        .collect();
    paths.sort();
    let lines = paths.iter().cycle().take(TUNES);
    lines.map(|path| format!("{}\n", path.display())).collect()
}

fn median(times: impl Iterator<Item = Duration>) -> Duration {
    let mut times: Vec<Duration> = times.collect();
    times.sort_unstable();
    times.get(times.len() / 2).copied().unwrap_or_default()
}
