//! How long the list of proposals of a 32-bar chart takes, from the chart to the ranked table, and how long
//! the best eight changes of it, proved; each with nothing remembered. The claims: 20 ms and 50 ms.

#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a bench stops short, and prints"
)]

use std::hint::black_box;
use std::time::{Duration, Instant};

use compline::arrange::{Cache, Settings};
use compline::chart::{Chart, Replacement, read};
use compline::formats::ranking_text;
use compline::reharm::{
    AskedPlaces, ChangeWeights, Listed, Proposed, Ranking, Ways, changes, priced, reharm,
    worth_a_change,
};

/// How often each is done, after a warm-up.
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
        report(name, "list", &chart, list);
        report(name, "eight changes", &chart, eight_changes);
    }
}

fn report(name: &str, what: &str, chart: &Chart, done: impl Fn(&Chart)) {
    let time = || {
        let start = Instant::now();
        done(chart);
        start.elapsed()
    };
    let mut times: Vec<Duration> = (0..RUNS + 5).map(|_| time()).collect();
    let mut times = times.split_off(5);
    times.sort();
    let (least, median) = (times[0], times[RUNS / 2]);
    let bars = chart.bars().count();
    println!("{name}, {bars} bars, {what}: median {median:.2?}, least {least:.2?} of {RUNS}");
}

fn proposed(chart: &Chart, settings: &Settings) -> Proposed {
    let asked = AskedPlaces::default();
    reharm(chart, settings, &Ways::default(), &asked).expect("proposals")
}

fn list(chart: &Chart) {
    let settings = Settings::default();
    let proposed = proposed(chart, &settings);
    let priced = priced(chart, proposed, &settings, &mut Cache::default()).expect("prices");
    black_box(ranking_text(&Ranking::of(priced.listed, None), None));
}

fn eight_changes(chart: &Chart) {
    let settings = Settings::default();
    let listed = worth_a_change(proposed(chart, &settings).listed);
    let all: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
    let terms = ChangeWeights::default().terms(&listed);
    let rungs = changes(chart, &all, &terms, &settings, 8, &mut Cache::default());
    black_box(rungs.expect("changes"));
}
