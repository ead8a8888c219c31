//! `voice`: plans charts and writes them out.

mod in_place;
mod job;
mod set;

use anyhow::Result;
use compline::formats::schema;

use super::Status;
use super::args::VoiceArguments;
use super::charts::Charts;
use super::input;
use super::output::{Destination, Guard, Output, ReadyResult, Replacing, ResultFiles};
use super::settings::Finder;
use super::terminal::Terminal;
use super::written::written;
use in_place::in_place;
pub use job::VoiceJob;
use job::each_voiced;
use set::{as_set, is_set};

/// Runs the command.
pub fn run(arguments: &VoiceArguments, terminal: &mut Terminal) -> Result<Status> {
    if arguments.schema {
        terminal.print_all(&schema())?;
        return Ok(Status::Done);
    }
    let writing = &arguments.writing;
    let mut job = VoiceJob::of(writing, terminal.verbose())?;
    job.replan = arguments.replan;
    let (title, sources) = input::titled_sources(&arguments.charts, &job.reading)?;
    let path = writing.output.as_deref();
    let replacing = Replacing::of(writing.force);
    let charts = Charts::of(sources, Finder::new(writing.hand.asked()?)?, terminal)?;
    let sources = &charts.sources;
    let several_keys = job.keys.several();
    let status = if arguments.in_place {
        in_place(&job, replacing, &charts, terminal)?
    } else if let Some(path) = path.filter(|_| is_set(arguments, sources, several_keys)) {
        as_set((path, replacing), title, &job, &charts, terminal)?
    } else {
        let output = Output::of(path, sources.len() > 1 || several_keys);
        let files = ResultFiles::of(sources, job.writer.ending).in_parts(job.keys.parts());
        let output = Destination::of(output, replacing, &files, &mut Guard::default())?;
        each_by_itself(&output, &job, &charts, terminal)?
    };
    terminal.flush()?;
    Ok(status)
}

/// A file for every chart, or all of them one after the other on standard output.
///
/// # Errors
///
/// A result that can't be written.
pub fn each_by_itself(
    output: &Destination,
    job: &VoiceJob,
    charts: &Charts,
    terminal: &mut Terminal,
) -> Result<Status> {
    each_voiced(
        job,
        charts,
        terminal,
        |at, key, arrangement| {
            let (bytes, notices) = written(arrangement, job.writer, &job.style)?;
            let key = key.map(|key| key.to_string());
            // What can't be written ends the run, and is no fault of this chart.
            Ok((output.ready(at, key.as_deref(), bytes), notices))
        },
        |_, ready, terminal| {
            // All of a chart's files are there before the first is put in its place.
            let ready: Vec<ReadyResult> = ready.into_iter().collect::<Result<_>>()?;
            for result in ready {
                result.put(terminal)?;
            }
            Ok(Status::Done)
        },
    )
}
