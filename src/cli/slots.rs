//! What the commands share that go through one chart slot by slot: `options` and `why`.

use std::collections::BTreeSet;
use std::path::Path;

use anyhow::{Result, bail};
use compline::arrange::{Cache, Settings, Trouble};
use compline::chart::{Chart, Slot};

use super::Status;
use super::args::{Places, ReportFormat, SlotArguments};
use super::batch;
use super::charts::Charts;
use super::input::{self, Source};
use super::reading::ReadOptions;
use super::set_list::{Asked, in_tempo};
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
    let finder = Finder::new(arguments.hand.asked()?)?;
    let charts = Charts::of(sources, finder, terminal)?;
    let prepare = preparation(arguments)?;
    let mut headings = Headings::of(&charts.sources, arguments.to);
    let status = batch::each(
        charts.iter(),
        &reading,
        terminal,
        |(source, settings), chart, _, cache| {
            let chart = prepare(chart, source.asked())?;
            let head = head(&chart, source);
            let result = work(chart, &settings.arrange, cache)?;
            Ok(((head, result), Vec::new()))
        },
        |_, (head, result), terminal| {
            terminal.print(&headings.over(&head))?;
            terminal.print(&show(result))?;
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

/// What makes a chart ready: refused where it lacks the bar that was asked for, else in the key and tempo that were,
/// with the wishes.
fn preparation(
    arguments: &SlotArguments,
) -> Result<impl Fn(Chart, Asked) -> Result<Chart> + Sync + '_> {
    let wishes = wishes(&arguments.tune.wish)?;
    let key = target_key(arguments.tune.key.as_deref())?;
    Ok(move |chart, asked: Asked| {
        let chart = wanted(chart, arguments.bar.as_ref())?;
        let chart = in_key(in_tempo(chart, asked.tempo), key.or(asked.key))?;
        with_wishes(chart, &wishes)
    })
}

/// A tune's title, or its name, and its key.
fn head(chart: &Chart, source: &Source) -> String {
    let named = chart.title().map(str::to_owned);
    let named = named.unwrap_or_else(|| source.name());
    match chart.key() {
        Some(key) => format!("{named}, key {key}"),
        None => named,
    }
}

/// The headings of several tunes that are read one after the other, apart from each other.
enum Headings {
    /// One tune, or something for programs.
    None,
    /// Before the first tune.
    First,
    /// Before another one.
    More,
}

impl Headings {
    fn of(sources: &[Source], format: ReportFormat) -> Self {
        match sources.len() > 1 && matches!(format, ReportFormat::Text) {
            true => Self::First,
            false => Self::None,
        }
    }

    /// What is printed over the next tune.
    fn over(&mut self, head: &str) -> String {
        match self {
            Self::None => String::new(),
            Self::First => {
                *self = Self::More;
                format!("{head}\n")
            }
            Self::More => format!("\n{head}\n"),
        }
    }
}

/// The indices of the slots that were asked for, out of all of a chart's.
pub fn asked<'a>(
    arguments: &SlotArguments,
    slots: impl Iterator<Item = &'a Slot> + Clone,
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
