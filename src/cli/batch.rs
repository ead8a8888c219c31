//! Many charts at once: read and worked on in parallel, delivered in order, one bad chart never
//! stopping the rest.
//!
//! Charts are taken a few hundred at a time, so memory doesn't grow with the songbook.

use std::cell::RefCell;
use std::time::{Duration, Instant};

use anyhow::Result;
use compline::arrange::{Cache, Stuck, Trouble};
use compline::chart::{self, Chart, Problem};
use indicatif::{ProgressBar, ProgressStyle};
use rayon::prelude::*;

use super::Status;
use super::input::Source;
use super::terminal::Terminal;

/// How many charts are in hand at a time.
const AT_A_TIME: usize = 256;

/// What became of one chart.
pub enum Outcome<R> {
    /// Worked on.
    Done(R, Vec<Remark>),
    /// Its text has mistakes.
    Mistaken(Vec<Problem>),
    /// No legal voicing fits some of its slots.
    Stuck(Vec<Stuck>),
    /// No choice of voicings can be played one after the other.
    Unplanned(String, Option<String>),
    /// It can't be read at all, or not be worked on.
    Failed(anyhow::Error),
}

/// Something to say about a chart that was worked on.
pub enum Remark {
    /// At a place of its text.
    At(Vec<Problem>),
    /// About the whole of it.
    About(String, Option<&'static str>),
}

impl<R> From<Trouble> for Outcome<R> {
    fn from(trouble: Trouble) -> Self {
        match trouble {
            Trouble::Road(problems) => Self::Mistaken(problems),
            Trouble::Stuck(slots) => Self::Stuck(slots),
            Trouble::NoPlan(why) => Self::Unplanned(why.to_string(), None),
            Trouble::Broken(step) => Self::Unplanned(step.to_string(), Some(step.help())),
        }
    }
}

thread_local! {
    /// One for each worker: nothing is shared, so nothing waits.
    static CACHE: RefCell<Cache> = RefCell::new(Cache::default());
}

/// Reads every chart and works on it (and on the bytes it was read from), delivering what came of each in order.
///
/// The status is the worst of all charts'.
///
/// # Errors
///
/// Only those of `deliver`: what goes wrong with a chart is told on the terminal, and the next is
/// taken.
pub fn each<R: Send>(
    sources: &[Source],
    terminal: &mut Terminal,
    work: impl Fn(Chart, &[u8], &mut Cache) -> Outcome<R> + Sync,
    mut deliver: impl FnMut(usize, R, &mut Terminal) -> Result<Status>,
) -> Result<Status> {
    let progress = Progress::over(sources.len(), terminal);
    let mut worst = Status::Done;
    for (batch, charts) in sources.chunks(AT_A_TIME).enumerate() {
        let outcomes: Vec<(Outcome<R>, String)> =
            charts.par_iter().map(|source| one(source, &work)).collect();
        for (at, (source, (outcome, text))) in charts.iter().zip(outcomes).enumerate() {
            let status = match outcome {
                Outcome::Done(result, remarks) => {
                    progress.aside(|| tell(source, &text, remarks, terminal));
                    deliver(batch * AT_A_TIME + at, result, terminal)?
                }
                bad => progress.aside(|| complain(source, &text, bad, terminal)),
            };
            worst = worst.max(status);
        }
        progress.add(charts.len());
    }
    progress.end();
    Ok(worst)
}

/// What came of one chart, and its text if something is to be shown in it.
fn one<R>(
    source: &Source,
    work: impl Fn(Chart, &[u8], &mut Cache) -> Outcome<R>,
) -> (Outcome<R>, String) {
    let bytes = match source.read() {
        Ok(bytes) => bytes,
        Err(error) => return (Outcome::Failed(error), String::new()),
    };
    let outcome = worked(&bytes, work);
    let shown = match &outcome {
        Outcome::Done(_, remarks) => remarks.iter().any(|r| matches!(r, Remark::At(_))),
        Outcome::Mistaken(_) => true,
        _ => false,
    };
    let text = if shown {
        String::from_utf8_lossy(&bytes).into_owned()
    } else {
        String::new()
    };
    (outcome, text)
}

fn worked<R>(bytes: &[u8], work: impl Fn(Chart, &[u8], &mut Cache) -> Outcome<R>) -> Outcome<R> {
    let chart = match chart::read_bytes(bytes) {
        Ok(chart) => chart,
        Err(problems) => return Outcome::Mistaken(problems),
    };
    let warnings = chart.warnings();
    match CACHE.with_borrow_mut(|cache| work(chart, bytes, cache)) {
        Outcome::Done(result, mut remarks) if !warnings.is_empty() => {
            remarks.insert(0, Remark::At(warnings));
            Outcome::Done(result, remarks)
        }
        outcome => outcome,
    }
}

fn tell(source: &Source, text: &str, remarks: Vec<Remark>, terminal: &mut Terminal) {
    for remark in remarks {
        match remark {
            Remark::At(problems) => terminal.problems(&source.name(), text, &problems),
            Remark::About(message, help) => {
                terminal.warning(&format!("{}: {message}", source.name()), help);
            }
        }
    }
}

fn complain<R>(
    source: &Source,
    text: &str,
    outcome: Outcome<R>,
    terminal: &mut Terminal,
) -> Status {
    let name = source.name();
    match outcome {
        Outcome::Done(..) => Status::Done,
        Outcome::Mistaken(problems) => {
            terminal.problems(&name, text, &problems);
            Status::Failed
        }
        Outcome::Stuck(slots) => {
            for Stuck { slot, why } in slots {
                let message = format!("{name}: bar {}, beat {}: {why}", slot.bar, slot.beat);
                terminal.failure(&message, why.help().as_deref());
            }
            Status::Findings
        }
        Outcome::Unplanned(why, help) => {
            terminal.failure(&format!("{name}: {why}"), help.as_deref());
            Status::Findings
        }
        Outcome::Failed(error) => {
            let message = format!("{error:#}");
            let named = message.contains(&name);
            let message = if named {
                message
            } else {
                format!("{name}: {message}")
            };
            terminal.error(&message);
            Status::Failed
        }
    }
}

/// A bar on the terminal, once somebody has waited a second.
struct Progress {
    bar: ProgressBar,
    started: Instant,
}

impl Progress {
    fn over(charts: usize, terminal: &Terminal) -> Self {
        let bar = if terminal.watched && charts > 1 {
            ProgressBar::new(charts as u64)
        } else {
            ProgressBar::hidden()
        };
        let style = ProgressStyle::with_template("{bar:32} {pos}/{len} charts");
        if let Ok(style) = style {
            bar.set_style(style);
        }
        Self {
            bar,
            started: Instant::now(),
        }
    }

    fn add(&self, charts: usize) {
        if self.started.elapsed() > Duration::from_secs(1) {
            self.bar.inc(charts as u64);
        } else {
            // Counted, but not drawn: a short run shows no bar.
            self.bar
                .update(|state| state.set_pos(state.pos() + charts as u64));
        }
    }

    fn aside<T>(&self, tell: impl FnOnce() -> T) -> T {
        self.bar.suspend(tell)
    }

    fn end(&self) {
        self.bar.finish_and_clear();
    }
}
