//! How long the list of proposals of a 32-bar chart takes, from the chart to the ranked table, with nothing
//! remembered. The claim: 20 ms.

#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a bench stops short, and prints"
)]

use std::hint::black_box;
use std::time::{Duration, Instant};

use compline::arrange::{Cache, Settings};
use compline::chart::{Chart, read};
use compline::formats::ranking_text;
use compline::reharm::{AskedPlaces, Ranking, Ways, priced, reharm};

/// How often it is listed, after a warm-up.
const RUNS: usize = 50;

/// Tunes of 26 to 34 bars: with repeats and endings, and straight.
const CHARTS: [(&str, &str); 2] = [
    (
        "lamplight-on-the-quay",
        include_str!("../../charts/lamplight-on-the-quay.chart"),
    ),
    (
        "the-last-ferry-home",
        include_str!("../../charts/the-last-ferry-home.chart"),
    ),
];

fn main() {
    for (name, text) in CHARTS {
        let chart = read(text).expect("a demo chart");
        let mut times: Vec<Duration> = (0..RUNS + 5).map(|_| time(&chart)).collect();
        let mut times = times.split_off(5);
        times.sort();
        let (least, median) = (times[0], times[RUNS / 2]);
        let bars = chart.bars().count();
        println!("{name}, {bars} bars: median {median:.2?}, least {least:.2?} of {RUNS}");
    }
}

fn time(chart: &Chart) -> Duration {
    let start = Instant::now();
    let (settings, asked) = (Settings::default(), AskedPlaces::default());
    let proposed = reharm(chart, &settings, &Ways::default(), &asked).expect("proposals");
    let priced = priced(chart, proposed, &settings, &mut Cache::default()).expect("prices");
    black_box(ranking_text(&Ranking::of(priced.listed, None), None));
    start.elapsed()
}
