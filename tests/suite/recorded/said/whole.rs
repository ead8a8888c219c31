//! All that is said of a chart. A text is on record by the number of its lines and a number worked out of its
//! letters, so that much is held in little room: a change is seen, and in which text.

use std::collections::BTreeSet;
use std::fmt::Write;

use compline::arrange::{Cache, Trouble, arrange, options};
use compline::chart::{self, Chart};
use compline::explain::why::why;
use compline::formats::{
    self, GridStyle, Style, held_text, options_json, options_text, play_order_text, ranking_text,
    reasons_text, why_text,
};
use compline::pitch::{Interval, Semitones};
use compline::reharm::{AskedPlaces, Ranking, priced, reharm};

use super::{findings, harmony, joined, proposals};
use crate::recorded::ask::Ask;

/// Up and down by so many letters and half steps.
const KEYS: [(i32, i32); 4] = [(1, 1), (1, 2), (3, 6), (-2, -3)];

/// The plan in its formats and in other keys, why it is so, what else there is, and what a check says.
pub fn told(ask: &Ask, chart: &Chart, text: &str, cache: &mut Cache) -> Result<String, Trouble> {
    let settings = ask.settings();
    let plan = arrange(chart.clone(), settings, cache)?;
    let style = Style {
        candidates: true,
        grounding: true,
        compare: true,
        details: true,
        grid: GridStyle::default(),
        ..Style::default()
    };
    let voiced = formats::text(&plan, &style);
    let read = chart::read(&voiced).unwrap();
    let keys = KEYS.iter().filter_map(|(letters, half_steps)| {
        read.transposed(Interval::new(*letters, Semitones(*half_steps)))
    });
    let keys = joined(keys.map(|chart| chart.tidy()), "\n");
    let priced = options(chart.clone(), settings, cache)?;
    let reasons = why(chart.clone(), settings, cache)?;
    let again = why(read, settings, cache)?;
    let order = chart.play_order().map_err(Trouble::PlayOrder)?;
    let warned = joined(&plan.warnings, "\n");
    let check = findings::findings(ask, chart, text, cache)?;
    let mended = findings::rewritten(ask, chart, text, cache)?;
    Ok(sum("text", &voiced)
        + &sum("warnings", &warned)
        + &sum("json", &formats::json(&plan, &style))
        + &sum("grid", &formats::grid(&plan, &style))
        + &sum("keys", &keys)
        + &sum("options", &(options_text(&priced) + &options_json(&priced)))
        + &sum("why", &why_text(&reasons, true, |_| true))
        + &sum("why given", &why_text(&again, false, |_| true))
        + &sum("order", &play_order_text(chart, &order))
        + &sum("harmony", &harmony::harmony(ask, chart)?)
        + &sum("check", &check)
        + &sum("mended", &mended))
}

/// What is proposed, with all reasons; what is chosen of it; whole arrangements.
pub fn offered(
    ask: &Ask,
    chart: &Chart,
    most: usize,
    cache: &mut Cache,
) -> Result<String, Trouble> {
    let asked = AskedPlaces::default();
    let found = reharm(chart, ask.settings(), &ask.ways, &asked)?;
    let found = priced(chart, found, ask.settings(), cache)?;
    let slots = chart.slots();
    let all: BTreeSet<usize> = slots.iter().map(|slot| slot.index).collect();
    let held = held_text(&slots, &found, &all);
    let kept_out = found.kept_out.iter().map(|out| &out.name);
    let kept_out = joined(kept_out, " ");
    let ranking = Ranking::of(found.listed, ask.welcome);
    let table = ranking_text(&ranking, None);
    let reasons = reasons_text(ranking.all());
    let lines = proposals::list(ask, chart, usize::MAX, cache)?;
    Ok(sum("held", &held)
        + &sum("kept out", &kept_out)
        + &sum("table", &table)
        + &sum("reasons", &reasons)
        + &sum("proposals", &lines)
        + &sum("changes", &proposals::chosen(ask, chart, most, cache)?)
        + &sum("versions", &proposals::arrangements(ask, chart, 2, cache)?))
}

/// A text in one line. `COMPLINE_RECORDED=told` shows it whole.
fn sum(name: &str, text: &str) -> String {
    if std::env::var("COMPLINE_RECORDED").as_deref() == Ok("told") {
        println!("-- {name}\n{text}");
    }
    let mut out = String::new();
    writeln!(
        out,
        "{name}: {} lines, {}",
        text.lines().count(),
        number(text)
    )
    .unwrap();
    out
}

/// A number of eight digits for a text, after Fowler, Noll and Vo (FNV-1a with 64 bits, the upper half folded in).
pub fn number(text: &str) -> String {
    let step = |sum: u64, byte: u8| (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    let sum = text.bytes().fold(0xcbf2_9ce4_8422_2325, step);
    format!("{:08x}", (sum >> 32) ^ (sum & 0xffff_ffff))
}
