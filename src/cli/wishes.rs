//! `--wish PLACE:WISHES`: read once, put into each chart before it is planned.

use anyhow::{Result, anyhow, bail};
use compline::chart::{Chart, Diagnostic, NotWished, Wish, WishedChart};
use compline::pitch::Note;

use super::args::{BarsOrChord, Places};

/// One `--wish`, with its text for messages.
pub struct PlacedWish {
    text: String,
    places: Places,
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
    let places: Result<Places, String> = place.parse();
    let places = places.map_err(|why| anyhow!("--wish {text}: {why}"))?;
    Ok(PlacedWish {
        places,
        entry: entry(text, asked)?,
        text: text.to_owned(),
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
    if wishes.is_empty() {
        return Ok(chart);
    }
    let mut wished = WishedChart::of(chart);
    for wish in wishes {
        add(&mut wished, wish).map_err(|why| anyhow!("--wish {}: {why}", wish.text))?;
    }
    Ok(wished.into_chart())
}

/// Puts a wish into every place it is for.
fn add(wished: &mut WishedChart, wish: &PlacedWish) -> Result<(), NotWished> {
    let mut places = wish.places.iter();
    places.try_for_each(|place| add_at(wished, place, &wish.entry))
}

/// Puts a wish into every bar of a place. Of several bars those without a chord are passed over.
fn add_at(wished: &mut WishedChart, place: &BarsOrChord, entry: &Wish) -> Result<(), NotWished> {
    let bars = place.bars();
    let several = bars.start() < bars.end();
    let mut silent = None;
    let mut added = false;
    for bar in bars {
        match wished.add(bar, place.chord(), entry) {
            Err(NotWished::Silence) if several => silent = Some(NotWished::Silence),
            outcome => {
                outcome?;
                added = true;
            }
        }
    }
    silent.filter(|_| !added).map_or(Ok(()), Err)
}
