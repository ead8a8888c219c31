//! `options`: every legal voicing of a chart's slots, with its price.

use std::path::Path;

use anyhow::{Result, bail};
use compline::arrange::options;
use compline::chart::Chart;
use compline::write::{options_json, options_text};

use super::Status;
use super::args::{OptionsArguments, ReportFormat};
use super::batch::{self, Outcome};
use super::input::{self, Source};
use super::settings::{in_key, settings, target_key};
use super::terminal::Terminal;
use super::wishes::{wishes, with_wishes};

/// Runs the command.
pub fn run(arguments: &OptionsArguments, terminal: &mut Terminal) -> Result<Status> {
    let settings = settings(&arguments.hand)?;
    let wishes = wishes(&arguments.hand.wish)?;
    let key = target_key(arguments.hand.key.as_deref())?;
    let sources = one_chart(&arguments.chart, "options are listed")?;
    let status = batch::each(
        &sources,
        terminal,
        |chart, _, cache| {
            let chart = wanted(chart, arguments.bar)
                .and_then(|chart| in_key(chart, key))
                .and_then(|chart| with_wishes(chart, &wishes));
            let chart = match chart {
                Ok(chart) => chart,
                Err(error) => return Outcome::Failed(error),
            };
            match options(chart, &settings, cache) {
                Ok(slots) => Outcome::Done(slots, Vec::new()),
                Err(trouble) => trouble.into(),
            }
        },
        |_, mut slots, terminal| {
            slots.retain(|slot| arguments.bar.is_none_or(|bar| slot.slot.bar == bar));
            let text = match arguments.to {
                ReportFormat::Text => options_text(&slots),
                ReportFormat::Json => options_json(&slots),
            };
            terminal.out().write_all(text.as_bytes())?;
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

/// The source of one chart; a folder is refused, since what is done is done a chart at a time.
pub(super) fn one_chart(path: &Path, done: &str) -> Result<Vec<Source>> {
    if path.is_dir() {
        bail!("{} is a folder: {done} a chart at a time", path.display());
    }
    input::sources(&[path.to_owned()])
}

/// The chart, if it has the bar that was asked for.
pub(super) fn wanted(chart: Chart, bar: Option<usize>) -> Result<Chart> {
    let bars = chart.bars().count();
    match bar {
        Some(bar) if bar == 0 || bar > bars => bail!("--bar {bar}: the chart has bars 1 to {bars}"),
        _ => Ok(chart),
    }
}
