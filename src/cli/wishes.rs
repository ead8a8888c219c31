//! `--wish BAR[.CHORD]:WISHES`: read once, put into each chart before it is planned.

use anyhow::{Result, anyhow, bail};
use compline::chart::{Chart, Diagnostic, TopWish, Wish};
use compline::pitch::Note;

use super::args::TopName;

/// One `--wish`, with its text for messages.
pub struct PlacedWish {
    text: String,
    bar: usize,
    chord: Option<usize>,
    entry: Wish,
}

/// Reads every `--wish`.
///
/// # Errors
///
/// The first that can't be read, with what was expected.
pub fn wishes(texts: &[String]) -> Result<Vec<PlacedWish>> {
    texts.iter().map(|text| wish(text)).collect()
}

fn wish(text: &str) -> Result<PlacedWish> {
    let Some((place, asked)) = text.split_once(':') else {
        bail!(
            "--wish {text}: a place, a colon and a wish were expected, such as 3:A or 3.2:leap=5"
        );
    };
    let (bar, chord) = match place.split_once('.') {
        Some((bar, chord)) => (number(text, bar)?, Some(number(text, chord)?)),
        None => (number(text, place)?, None),
    };
    Ok(PlacedWish {
        bar,
        chord,
        entry: entry(text, asked)?,
        text: text.to_owned(),
    })
}

fn number(text: &str, digits: &str) -> Result<usize> {
    let number = digits.parse().ok().filter(|number| *number > 0);
    number.ok_or_else(|| {
        anyhow!("--wish {text}: `{digits}` is not a number; a place is BAR or BAR.CHORD, from 1")
    })
}

/// What would stand in the chart's `lh` line, where the `?` before wishes may be left out.
fn entry(text: &str, asked: &str) -> Result<Wish> {
    let first = asked.split('.').next().unwrap_or_default();
    let whole = asked.starts_with(['?', '-']) || first.parse::<Note>().is_ok();
    let read = if asked.is_empty() {
        bail!("--wish {text}: a wish is missing behind the colon");
    } else if whole {
        asked.parse()
    } else {
        format!("?{asked}").parse()
    };
    read.map_err(|problem: Diagnostic| {
        let help = problem
            .help
            .map(|help| format!("; {help}"))
            .unwrap_or_default();
        anyhow!(
            "--wish {text}: {}: expected {}{help}",
            problem.message,
            problem.label
        )
    })
}

/// The chart with all wishes in it.
///
/// # Errors
///
/// The first that has no place there, or contradicts what is there.
pub fn with_wishes(chart: Chart, wishes: &[PlacedWish]) -> Result<Chart> {
    wishes.iter().try_fold(chart, |chart, wish| {
        let wished = chart.wished(wish.bar, wish.chord, &wish.entry);
        wished.map_err(|why| anyhow!("--wish {}: {why}", wish.text))
    })
}

/// The wish for the top note, as typed.
pub fn top(name: TopName) -> TopWish {
    match name {
        TopName::Held => TopWish::Held,
        TopName::Step => TopWish::Step,
    }
}
