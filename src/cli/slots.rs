//! What the commands share that go through one chart slot by slot: `options` and `why`.

use std::collections::BTreeSet;
use std::path::Path;

use anyhow::{Result, anyhow, bail};
use compline::arrange::{Cache, Settings, Trouble};
use compline::chart::{Chart, Slot};

use super::Status;
use super::args::{Places, SlotArguments};
use super::batch;
use super::input::{self, Source};
use super::outcome::ChartOutcome;
use super::reading::ReadOptions;
use super::settings::{Finder, in_key, target_key};
use super::terminal::Terminal;
use super::wishes::{wishes, with_wishes};
use crate::cli::visible::path_in_one_line;

/// Works on the chart the arguments name, in its key and with its wishes, and prints what `show`
/// makes of the result; or prints the schema of that.
pub fn run<R: Send>(
    arguments: &SlotArguments,
    done: &str,
    schema: impl Fn() -> String,
    terminal: &mut Terminal,
    work: impl Fn(Chart, &Settings, &mut Cache) -> Result<R, Trouble> + Sync,
    show: impl Fn(R) -> String,
) -> Result<Status> {
    // The schema needs no chart.
    let Some(chart) = &arguments.chart else {
        terminal.print_all(&schema())?;
        return Ok(Status::Done);
    };
    let reading = ReadOptions::of(&arguments.reading)?;
    let sources = one_chart(chart, &reading, done)?;
    let mut finder = Finder::new(arguments.hand.asked()?)?;
    let settings = finder.all(&sources, terminal)?;
    let wishes = wishes(&arguments.tune.wish)?;
    let key = target_key(arguments.tune.key.as_deref())?;
    let prepared = |chart| {
        wanted(chart, arguments.bar.as_ref())
            .and_then(|chart| in_key(chart, key))
            .and_then(|chart| with_wishes(chart, &wishes))
    };
    let status = batch::each(
        &sources,
        &reading,
        terminal,
        |at, chart, _, cache| {
            let settings = settings.get(at).ok_or_else(|| anyhow!("no settings"));
            let ready = prepared(chart).and_then(|chart| Ok((chart, settings?)));
            match ready.map(|(chart, settings)| work(chart, &settings.arrange, cache)) {
                Ok(Ok(result)) => ChartOutcome::Done(result, Vec::new()),
                Ok(Err(trouble)) => trouble.into(),
                Err(error) => ChartOutcome::Failed(error),
            }
        },
        |_, result, terminal| {
            terminal.print(&show(result))?;
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

/// The indices of the slots that were asked for, out of all of a chart's.
pub fn asked<'a>(
    arguments: &SlotArguments,
    slots: impl Iterator<Item = &'a Slot>,
) -> BTreeSet<usize> {
    match &arguments.bar {
        Some(places) => places.slots(slots),
        None => slots.map(|slot| slot.index).collect(),
    }
}

/// The source of one chart; a folder is refused, since what is done is done a chart at a time.
pub fn one_chart(path: &Path, reading: &ReadOptions, done: &str) -> Result<Vec<Source>> {
    if path.is_dir() {
        bail!(
            "{} is a folder: {done} a chart at a time",
            path_in_one_line(path)
        );
    }
    input::sources(&[path.to_owned()], reading)
}

/// The chart, if it has the place that was asked for.
fn wanted(chart: Chart, places: Option<&Places>) -> Result<Chart> {
    places.map_or(Ok(()), |places| places.check("--bar", &chart))?;
    Ok(chart)
}
