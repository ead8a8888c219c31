//! `check`: holds voiced charts against the rules; mends them; records what is known.
//!
//! What is to be done with one chart is in [`check_one`], what becomes of the results in [`reporter`]; between
//! them the charts go through [`batch::in_order`], in parallel and in a fixed order.

mod artifact;
mod check_one;
mod mended;
mod pieces;
mod read_chart;
pub mod record;
mod reporter;
mod tally;
mod tell_beside;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::{Result, bail};
use compline::check;
use compline::formats::{findings_schema, rules_json, rules_text};

use super::Status;
use super::args::{CheckArguments, CheckFormat};
use super::batch::{self, OnceGone};
use super::input::{FoundCharts, Source, all_sources, sources};
use super::reading::ReadOptions;
use super::settings::{Finder, InForce};
use super::terminal::Terminal;
use super::visible::path_in_one_line;
use check_one::{CheckTask, Worker};
use read_chart::Companion;
use record::Known;
use reporter::Reporter;

/// Runs the command.
pub fn run(arguments: &CheckArguments, terminal: &mut Terminal) -> Result<Status> {
    if arguments.schema {
        terminal.print_all(&findings_schema())?;
        return Ok(Status::Done);
    }
    let mut finder = Finder::new(arguments.asked()?)?;
    let here = finder.of(&Source::Stdin { path: None }, terminal)?;
    if arguments.rules {
        terminal.print_all(&rules(arguments.to, &here.check)?)?;
        return Ok(Status::Done);
    }
    check_all(arguments, &mut finder, &here, terminal)
}

/// Checks every chart the arguments name, and reports in their order; `here` is what is in force in this folder.
fn check_all(
    arguments: &CheckArguments,
    finder: &mut Finder,
    here: &InForce,
    terminal: &mut Terminal,
) -> Result<Status> {
    let task = task(arguments)?;
    let reading = ReadOptions::of(&arguments.reading)?;
    let (found, chart) = found(arguments, &reading)?;
    tell_elsewhere(&found, terminal);
    let settings = settings(&found.sources, chart.as_ref(), finder, terminal)?;
    let known = known(&settings, arguments)?;
    let track = arguments.track.as_deref();
    let worker = Worker {
        task,
        style: match task {
            CheckTask::Mend => terminal.style(),
            _ => terminal.out_style(),
        },
        sources: &found.sources,
        settings: &settings,
        known: &known,
        mend_known: arguments.all,
        reading: &reading,
        companion: chart.as_ref().map(|chart| Companion { chart, track }),
    };
    let mut reporter = Reporter::new(task, arguments, &found.sources)?;
    reporter.begin(&here.check, terminal)?;
    for trouble in &found.troubles {
        reporter.trouble(trouble, terminal);
    }
    check_each(&worker, &mut reporter, terminal)?;
    let gone = known
        .values()
        .map(|known| known.gone(&reporter.tally.named))
        .sum();
    reporter.end(gone, terminal)
}

/// The settings that each of the sources is checked under: for a played hand, those of its chart.
fn settings(
    sources: &[Source],
    chart: Option<&Source>,
    finder: &mut Finder,
    terminal: &mut Terminal,
) -> Result<Vec<Arc<InForce>>> {
    match chart {
        None => finder.all(sources, terminal),
        Some(chart) => Ok(vec![finder.of(chart, terminal)?; sources.len()]),
    }
}

/// Has every chart checked by some worker, and hands what came of it to the reporter, in order.
fn check_each(
    worker: &Worker<'_>,
    reporter: &mut Reporter<'_>,
    terminal: &mut Terminal,
) -> Result<Status> {
    batch::in_order(
        pieces::pieces(worker.sources, worker.reading),
        worker.sources.len(),
        OnceGone::GoOn,
        terminal,
        |_, piece| worker.work(piece),
        |_, piece, came, terminal| match came {
            Ok(checked) => reporter.checked(&piece, *checked, terminal),
            Err(bad) => reporter.bad(&piece, *bad, terminal),
        },
    )
}

/// What is to be checked: the charts, or what was played to the only one.
fn found(
    arguments: &CheckArguments,
    reading: &ReadOptions,
) -> Result<(FoundCharts, Option<Source>)> {
    let Some(played) = &arguments.played else {
        return Ok((all_sources(&arguments.charts, reading), None));
    };
    let mut charts = sources(&arguments.charts, reading)?;
    let (Some(chart), true) = (charts.pop(), charts.is_empty()) else {
        bail!("--played: a left hand is played to one chart: name one");
    };
    let hand = match played == Path::new("-") {
        true => Source::Stdin { path: None },
        false => Source::file(played),
    };
    if chart == hand {
        bail!("--played: the chart and what was played to it are one file");
    }
    let found = FoundCharts::of(hand);
    Ok((found, Some(chart)))
}

/// Says which links to folders elsewhere are not looked into.
fn tell_elsewhere(found: &FoundCharts, terminal: &mut Terminal) {
    for link in &found.elsewhere {
        let link = path_in_one_line(link);
        let told = format!("{link} is a link to a folder elsewhere, and is not looked into");
        terminal.warning(&told, Some("name that folder as well"));
    }
}

fn rules(format: CheckFormat, settings: &check::RuleSettings) -> Result<String> {
    match format {
        CheckFormat::Text => Ok(rules_text(settings)),
        CheckFormat::Json => Ok(rules_json(settings)),
        CheckFormat::Lines | CheckFormat::Sarif | CheckFormat::Table => {
            bail!("--rules: rules are listed as text or json")
        }
    }
}

fn task(arguments: &CheckArguments) -> Result<CheckTask> {
    if arguments.output.is_some() && !arguments.mend {
        bail!("-o goes with --mend; findings go to standard output");
    }
    Ok(match arguments {
        _ if arguments.mend => CheckTask::Mend,
        _ if arguments.record.is_some() => CheckTask::Record,
        _ if arguments.roughest.is_some() => match arguments.to {
            CheckFormat::Text | CheckFormat::Json => CheckTask::Roughest,
            _ => bail!("--roughest: voicings are listed as text or json"),
        },
        _ => CheckTask::Show(arguments.to),
    })
}

/// The records the settings name, each read once. A settings file may name the record before it is
/// there: while one is being written, a missing one is an empty one.
fn known(
    settings: &[Arc<InForce>],
    arguments: &CheckArguments,
) -> Result<BTreeMap<PathBuf, Known>> {
    let to_come = |path: &PathBuf| arguments.record.is_some() && !path.exists();
    let mut known = BTreeMap::new();
    for path in settings
        .iter()
        .filter_map(|settings| settings.known.as_ref())
    {
        if !known.contains_key(path) && !to_come(path) {
            known.insert(path.clone(), Known::read(path)?);
        }
    }
    Ok(known)
}
