//! What would every other voicing of a chord cost the whole tune?

#![allow(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "an example may stop short, and prints"
)]

use std::fmt::Write;

use compline::arrange::{Cache, Settings, options};
use compline::chart;

const CHART: &str = "key: C\n| Dm7 | G7 | Cmaj7 | Am7 |\n";

/// The text this example prints.
pub fn report() -> String {
    let chart = chart::read(CHART).expect("the chart is sound");
    let slots =
        options(chart, &Settings::default(), &mut Cache::default()).expect("every chord fits");
    let mut text = String::new();
    for slot in slots {
        let _ = writeln!(text, "{}", slot.slot.symbol.text());
        for priced in slot.voicings {
            let _ = writeln!(text, "  {} costs {} more", priced.voicing, priced.price);
        }
    }
    text
}

fn main() {
    print!("{}", report());
}
