//! `tidy`: charts in their standard layout.

use std::path::PathBuf;

use anyhow::{Result, bail};
use compline::chart::{Chart, without_remarks};
use compline::pitch::Key;

use super::Status;
use super::args::TidyArguments;
use super::batch::{self, ChartOutcome};
use super::input::{self, ENDING, Source};
use super::output::{Output, deliver, make_folder_of};
use super::settings::{in_key, target_key};
use super::terminal::Terminal;

/// Runs the command.
pub fn run(arguments: &TidyArguments, terminal: &mut Terminal) -> Result<Status> {
    let key = target_key(arguments.key.as_deref())?;
    let sources = input::sources(&arguments.charts)?;
    let output = Output::of(arguments.output.as_deref(), sources.len() > 1);
    let places = places(arguments, &output, &sources)?;
    let status = batch::each(
        &sources,
        terminal,
        |_, chart, source, _| tidy(chart, source, key),
        |at, tidied, terminal| {
            let Some(source) = sources.get(at) else {
                return Ok(Status::Done);
            };
            if arguments.check {
                return check(source, &tidied, terminal);
            }
            let place = places.get(at).and_then(Option::as_deref);
            if let (Some(place), Output::Folder(_)) = (place, &output) {
                make_folder_of(place)?;
            }
            deliver(place, tidied.text.as_bytes(), terminal.out())?;
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

/// A chart in its standard layout.
struct Tidied {
    text: String,
    /// Whether it was in that layout before.
    before: bool,
}

fn tidy(chart: Chart, source: &[u8], key: Option<Key>) -> ChartOutcome<Tidied> {
    match in_key(chart, key) {
        Ok(chart) => {
            let text = chart.to_string();
            let source = String::from_utf8_lossy(source);
            let before = without_remarks(&source) == text;
            // What is tidy stays as it is, with the program's remarks.
            let text = if before { source.into_owned() } else { text };
            ChartOutcome::Done(Tidied { text, before }, Vec::new())
        }
        Err(error) => ChartOutcome::Failed(error),
    }
}

fn places(
    arguments: &TidyArguments,
    output: &Output,
    sources: &[Source],
) -> Result<Vec<Option<PathBuf>>> {
    if !arguments.in_place {
        return output.places(sources, ENDING);
    }
    let own = sources.iter().map(|source| match source {
        Source::Stdin => bail!("--in-place needs a file, and standard input (`-`) is none"),
        Source::File { path, .. } => Ok(Some(path.clone())),
    });
    own.collect()
}

fn check(source: &Source, tidied: &Tidied, terminal: &mut Terminal) -> Result<Status> {
    if tidied.before {
        return Ok(Status::Done);
    }
    writeln!(terminal.out(), "{}", source.name())?;
    Ok(Status::Findings)
}
