//! What the commands share that go through one chart slot by slot: `options` and `why`.

use std::path::Path;

use anyhow::{Result, anyhow, bail};
use compline::arrange::{Cache, Settings, Trouble};
use compline::chart::{Chart, Slot};

use super::Status;
use super::args::SlotArguments;
use super::batch::{self, Outcome};
use super::input::{self, Source};
use super::settings::{Finder, Layer, in_key, target_key};
use super::terminal::Terminal;
use super::wishes::{wishes, with_wishes};

/// Works on the chart the arguments name, in its key and with its wishes, and prints what `show`
/// makes of the result.
pub fn run<R: Send>(
    arguments: &SlotArguments,
    done: &str,
    terminal: &mut Terminal,
    work: impl Fn(Chart, &Settings, &mut Cache) -> Result<R, Trouble> + Sync,
    show: impl Fn(R) -> String,
) -> Result<Status> {
    let sources = one_chart(&arguments.chart, done)?;
    let mut finder = Finder::new(&arguments.hand, &Layer::default())?;
    let settings = finder.all(&sources, terminal)?;
    let wishes = wishes(&arguments.tune.wish)?;
    let key = target_key(arguments.tune.key.as_deref())?;
    let prepared = |chart| {
        wanted(chart, arguments.bar)
            .and_then(|chart| in_key(chart, key))
            .and_then(|chart| with_wishes(chart, &wishes))
    };
    let status = batch::each(
        &sources,
        terminal,
        |at, chart, _, cache| match (prepared(chart), settings.get(at)) {
            (Ok(chart), Some(settings)) => match work(chart, &settings.arrange, cache) {
                Ok(result) => Outcome::Done(result, Vec::new()),
                Err(trouble) => trouble.into(),
            },
            (Err(error), _) => Outcome::Failed(error),
            (_, None) => Outcome::Failed(anyhow!("no settings")),
        },
        |_, result, terminal| {
            terminal.out().write_all(show(result).as_bytes())?;
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

/// Whether a slot is in the bar that was asked for, if one was.
pub fn asked(arguments: &SlotArguments, slot: &Slot) -> bool {
    arguments.bar.is_none_or(|bar| slot.bar == bar)
}

/// The source of one chart; a folder is refused, since what is done is done a chart at a time.
pub fn one_chart(path: &Path, done: &str) -> Result<Vec<Source>> {
    if path.is_dir() {
        bail!("{} is a folder: {done} a chart at a time", path.display());
    }
    input::sources(&[path.to_owned()])
}

/// The chart, if it has the bar that was asked for.
fn wanted(chart: Chart, bar: Option<usize>) -> Result<Chart> {
    bar.map_or(Ok(()), |bar| has_bar(&chart, bar))?;
    Ok(chart)
}

/// Refuses a bar that was asked for and is not on the page.
pub fn has_bar(chart: &Chart, bar: usize) -> Result<()> {
    let bars = chart.bars().count();
    if bar == 0 || bar > bars {
        bail!("--bar {bar}: the chart has bars 1 to {bars}");
    }
    Ok(())
}
