//! `why`: for each slot, why the left hand plays these notes.

use anyhow::Result;
use compline::arrange::why::{Why, why};
use compline::write::{why_json, why_text};

use super::Status;
use super::args::{ReportFormat, WhyArguments};
use super::batch::{self, Outcome};
use super::options::{one_chart, wanted};
use super::settings::{in_key, settings, target_key};
use super::terminal::Terminal;
use super::wishes::{wishes, with_wishes};

/// Runs the command.
pub fn run(arguments: &WhyArguments, terminal: &mut Terminal) -> Result<Status> {
    let settings = settings(&arguments.hand)?;
    let wishes = wishes(&arguments.hand.wish)?;
    let key = target_key(arguments.hand.key.as_deref())?;
    let sources = one_chart(&arguments.chart, "reasons are given")?;
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
            match why(chart, &settings, cache) {
                Ok(slots) => Outcome::Done(slots, Vec::new()),
                Err(trouble) => trouble.into(),
            }
        },
        |_, slots, terminal| {
            let asked = |why: &Why| arguments.bar.is_none_or(|bar| why.slot.bar == bar);
            let text = match arguments.to {
                ReportFormat::Text => why_text(&slots, asked),
                ReportFormat::Json => why_json(slots.iter().filter(|why| asked(why))),
            };
            terminal.out().write_all(text.as_bytes())?;
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}
