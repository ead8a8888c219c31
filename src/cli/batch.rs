//! Many charts at once: read and worked on in parallel, delivered in order, one bad chart never
//! stopping the rest.
//!
//! No more charts are in hand than a few for each thread, so memory doesn't grow with the songbook.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;
use std::path::PathBuf;

use anyhow::Result;
use compline::arrange::Cache;
use compline::chart::Chart;

use super::Status;
use super::args::ReadingArguments;
use super::input::{self, Source};
use super::outcome::{ChartOutcome, ChartResult, Notice, complain, tell};
use super::reading::{ReadOptions, Taken};
use super::set_list::in_tempo;
use super::settings::in_key;
use super::terminal::Terminal;
use super::workers;

thread_local! {
    /// One for each worker: nothing is shared, so nothing waits.
    static CACHE: RefCell<Cache> = RefCell::new(Cache::default());
}

/// Reads every chart and works on it, delivering what came of each in order. What works on it is given
/// its source with what goes with that, the chart, and the bytes it was read from.
///
/// The status is the worst of all charts'.
///
/// # Errors
///
/// Only those of `deliver`: what goes wrong with a chart is told on the terminal, and the next is
/// taken.
pub fn each<'a, C: Copy + Send + Sync, R: Send>(
    charts: impl ExactSizeIterator<Item = (&'a Source, C)> + Send,
    reading: &ReadOptions,
    terminal: &mut Terminal,
    work: impl Fn((&'a Source, C), Chart, &[u8], &mut Cache) -> ChartResult<R> + Sync,
    mut deliver: impl FnMut((usize, &'a Source), R, &mut Terminal) -> Result<Status>,
) -> Result<Status> {
    let count = charts.len();
    let each_told = count == 1 || terminal.verbose();
    let mut kinds = Kinds::default();
    let worst = in_order(
        charts,
        count,
        OnceGone::Stop,
        terminal,
        |_, (source, with)| {
            one(source, reading, |chart, bytes, cache| {
                work((*source, *with), chart, bytes, cache)
            })
        },
        |at, (source, _), (outcome, text), terminal| match outcome {
            ChartOutcome::Done(result, notices) => {
                match each_told {
                    true => tell(&source.name(), &text, notices, terminal),
                    false => kinds.add(&notices),
                }
                deliver((at, source), result, terminal)
            }
            bad => Ok(complain(&source.name(), &text, bad, terminal)),
        },
    )?;
    kinds.tell(count, terminal);
    Ok(worst)
}

/// What to do once nobody reads the results any more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnceGone {
    /// Nothing more is wanted.
    Stop,
    /// The exit status is: go on to the end.
    GoOn,
}

/// Works on things in parallel, and delivers what came of each in their order.
/// A bar shows how far it is where `total` is more than one and somebody waits.
///
/// # Errors
///
/// Only those of `deliver`, at the first of which it stops.
pub fn in_order<P: Send, R: Send>(
    things: impl Iterator<Item = P> + Send,
    total: usize,
    once_gone: OnceGone,
    terminal: &mut Terminal,
    work: impl Fn(usize, &P) -> R + Sync,
    mut deliver: impl FnMut(usize, P, R, &mut Terminal) -> Result<Status>,
) -> Result<Status> {
    terminal.expect(total);
    let mut worst = Status::Done;
    let mut failed = None;
    workers::in_order(things, work, |at, thing, result| {
        match deliver(at, thing, result, terminal) {
            Ok(status) => worst = worst.max(status),
            Err(error) => failed = Some(error),
        }
        terminal.progress(1);
        match failed.is_some() || once_gone == OnceGone::Stop && terminal.gone() {
            true => ControlFlow::Break(()),
            false => ControlFlow::Continue(()),
        }
    });
    terminal.done();
    failed.map_or(Ok(worst), Err)
}

/// Runs with this worker's own cache.
pub fn with_cache<T>(work: impl FnOnce(&mut Cache) -> T) -> T {
    CACHE.with_borrow_mut(work)
}

/// Prints the report of every chart that the arguments name, in the key that its set list asks for, with `between`
/// before all but the first.
///
/// # Errors
///
/// A chart that isn't found, or a report that can't be written.
pub fn reports(
    (charts, reading): (&[PathBuf], &ReadingArguments),
    between: &str,
    terminal: &mut Terminal,
    report: impl Fn(&Chart) -> ChartResult<String> + Sync,
) -> Result<Status> {
    let reading = ReadOptions::of(reading)?;
    let sources = input::sources(charts, &reading)?;
    let status = each(
        sources.iter().map(|source| (source, ())),
        &reading,
        terminal,
        |(source, ()), chart, _, _| {
            let asked = source.asked();
            report(&in_key(in_tempo(chart, asked.tempo), asked.key)?)
        },
        |(at, _), text, terminal| {
            if at > 0 {
                terminal.write(between.as_bytes())?;
            }
            terminal.print(&text)?;
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

/// What came of one chart, and its text if something is to be shown in it.
fn one<R>(
    source: &Source,
    reading: &ReadOptions,
    work: impl Fn(Chart, &[u8], &mut Cache) -> ChartResult<R>,
) -> (ChartOutcome<R>, String) {
    let bytes = match source.read() {
        Ok(bytes) => bytes,
        Err(error) => return (ChartOutcome::Failed(error), String::new()),
    };
    let (outcome, own) = match reading.taken(&bytes, source.path()) {
        Ok(taken) => worked(taken, &bytes, work),
        Err(bad) => (bad, None),
    };
    let shown = match &outcome {
        ChartOutcome::Done(_, remarks) => remarks.iter().any(|r| matches!(r, Notice::At(_))),
        ChartOutcome::Mistaken(_) => true,
        _ => false,
    };
    let text = match own {
        _ if !shown => String::new(),
        Some(text) => text,
        None => String::from_utf8_lossy(&bytes).into_owned(),
    };
    (outcome, text)
}

/// What came of it, and the text it stands in if that is not the file's.
fn worked<R>(
    taken: Taken,
    bytes: &[u8],
    work: impl Fn(Chart, &[u8], &mut Cache) -> ChartResult<R>,
) -> (ChartOutcome<R>, Option<String>) {
    let (chart, text, lost, warnings) = taken.parts();
    let result = with_cache(|cache| work(chart, bytes, cache));
    let result = result.map(|(result, remarks)| {
        let at = (!warnings.is_empty()).then_some(Notice::At(warnings));
        let remarks = lost.into_iter().chain(at).chain(remarks);
        (result, remarks.collect())
    });
    (ChartOutcome::from(result), text)
}

/// In how many charts there is something of each kind to know; said at the end of a run over many.
#[derive(Default)]
struct Kinds(BTreeMap<&'static str, usize>);

impl Kinds {
    fn add(&mut self, notices: &[Notice]) {
        let kinds: BTreeSet<&str> = notices.iter().map(Notice::kind).collect();
        let Self(charts) = self;
        for kind in kinds {
            *charts.entry(kind).or_default() += 1;
        }
    }

    fn tell(&self, of: usize, terminal: &mut Terminal) {
        let Self(charts) = self;
        for (kind, count) in charts {
            let told = format!("in {count} of {of} charts, {kind}");
            terminal.warning(&told, Some("-v says where"));
        }
    }
}
