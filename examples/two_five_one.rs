//! Reads a chart from text, plans it, and prints the voiced chart.

#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "an example may stop short, and prints"
)]

use compline::arrange::{Cache, Settings, arrange};
use compline::{chart, formats};

const CHART: &str = "\
title: Three Steps Down
key: Bb
| Cm7 | F7 | Bbmaj7 | % |
";

/// The text this example prints.
pub fn report() -> String {
    let chart = chart::read(CHART).expect("the chart is sound");
    let arrangement =
        arrange(chart, &Settings::default(), &mut Cache::default()).expect("every chord fits");
    let style = formats::Style {
        compare: true,
        ..formats::Style::default()
    };
    formats::text(&arrangement, &style)
}

fn main() {
    print!("{}", report());
}
