//! `convert`: tunes of other formats as charts.

use anyhow::{Context, Result, anyhow};
use compline::chart::{Chart, Diagnostic};
use compline::formats::readers::ReadTune;
use compline::formats::report::{self, LossReport};

use super::Status;
use super::args::ConvertArguments;
use super::batch::{self, OnceGone};
use super::input::{self, ENDING, Source};
use super::outcome::{self, ChartOutcome, Notice};
use super::output::{Destination, Guard, Output, Replacing, ResultFiles, write};
use super::reading::{self, ReadOptions, Taken};
use super::terminal::Terminal;

/// Runs the command.
pub fn run(arguments: &ConvertArguments, terminal: &mut Terminal) -> Result<Status> {
    if arguments.schema {
        terminal.print_all(&report::schema())?;
        return Ok(Status::Done);
    }
    let reading = ReadOptions::of(&arguments.reading)?;
    let sources = input::tunes(&arguments.files, &reading)?;
    let output = Output::of(arguments.output.as_deref(), sources.len() > 1);
    let replacing = Replacing::of(arguments.force);
    let mut guard = Guard::default();
    let files = ResultFiles::of(&sources, ENDING);
    let output = Destination::of(output, replacing, &files, &mut guard)?;
    if let Some(path) = &arguments.report {
        guard
            .add(path, "the report".to_owned())
            .context("--report")?;
    }
    let mut reports = String::new();
    let status = batch::in_order(
        sources.iter(),
        sources.len(),
        OnceGone::GoOn,
        terminal,
        |_, source| converted(source, &reading),
        |at, source, outcome, terminal| {
            let name = source.name();
            let (tune, remarks) = match outcome {
                ChartOutcome::Done(tune, remarks) => (tune, remarks),
                bad => return Ok(outcome::complain(&name, "", bad, terminal)),
            };
            outcome::tell(&source.name(), &tune.text, remarks, terminal);
            reports.push_str(&report::json(&name, tune.chart.title(), &tune.report));
            output.put(at, tune.text.as_bytes(), terminal)?;
            Ok(Status::Done)
        },
    )?;
    if let Some(path) = &arguments.report {
        write(path, reports.as_bytes(), replacing, terminal)?;
    }
    terminal.flush()?;
    Ok(status)
}

fn converted(source: &Source, reading: &ReadOptions) -> ChartOutcome<ReadTune> {
    let bytes = match source.read() {
        Ok(bytes) => bytes,
        Err(error) => return ChartOutcome::Failed(error),
    };
    let tune = match reading.taken(&bytes, source.path()) {
        Ok(Taken::Tune(tune)) => *tune,
        Ok(Taken::Chart(chart)) => tidied(chart),
        Err(ChartOutcome::Mistaken(problems)) => return no_chart(&problems),
        Err(bad) => return bad,
    };
    let mut remarks = reading::remarks(&tune);
    if let Err(problems) = tune.chart.play_order() {
        remarks.push(Notice::At(problems.into()));
    }
    ChartOutcome::Done(tune, remarks)
}

/// A chart is a tune already; it comes out in the standard layout.
fn tidied(chart: Chart) -> ReadTune {
    ReadTune {
        text: chart.tidy(),
        chart,
        report: LossReport::default(),
        places: Vec::new(),
    }
}

fn no_chart(problems: &[Diagnostic]) -> ChartOutcome<ReadTune> {
    let first = problems.first().map(ToString::to_string);
    let first = first.unwrap_or_default();
    let help = "MusicXML, ABC and MIDI are told by what is in them; --from says it";
    ChartOutcome::Failed(anyhow!("this is no chart: {first}; {help}"))
}
