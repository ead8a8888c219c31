//! `convert`: tunes of other formats as charts.

use anyhow::{Result, anyhow, bail};
use compline::chart;
use compline::formats::readers::{Reader, Tune, reader};
use compline::formats::report::{Report, json};

use super::Status;
use super::args::{ConvertArguments, InputFormat};
use super::batch::{self, ChartOutcome, Notice, OnceGone};
use super::input::{self, ENDING, Source};
use super::output::{Destination, Output, Replacing, write};
use super::reading;
use super::terminal::Terminal;

/// Runs the command.
pub fn run(arguments: &ConvertArguments, terminal: &mut Terminal) -> Result<Status> {
    let sources = input::tunes(&arguments.files)?;
    let output = Output::of(arguments.output.as_deref(), sources.len() > 1);
    let replacing = Replacing::of(arguments.force);
    let output = Destination::of(output, replacing, &sources, ENDING)?;
    let from = arguments.from.map(named).transpose()?;
    let mut reports = String::new();
    let status = batch::in_order(
        sources.iter(),
        sources.len(),
        OnceGone::GoOn,
        terminal,
        |_, source| converted(source, from, arguments.part.as_deref()),
        |at, source, outcome, terminal| {
            let name = source.name();
            let (tune, remarks) = match outcome {
                ChartOutcome::Done(tune, remarks) => (tune, remarks),
                bad => return Ok(batch::complain(&name, "", bad, terminal)),
            };
            batch::tell(source, &tune.text, remarks, terminal);
            reports.push_str(&json(&name, tune.chart.title(), &tune.report));
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

/// The reader that is asked for; `None` for charts.
fn named(format: InputFormat) -> Result<Option<&'static Reader>> {
    let name = match format {
        InputFormat::Musicxml => "musicxml",
        InputFormat::Midi => "midi",
        InputFormat::Abc => "abc",
        InputFormat::Chart => return Ok(None),
    };
    match reader(name) {
        Some(reader) => Ok(Some(reader)),
        None => bail!("there is no reader called {name}"),
    }
}

fn converted(
    source: &Source,
    from: Option<Option<&'static Reader>>,
    part: Option<&str>,
) -> ChartOutcome<Tune> {
    let bytes = match source.read() {
        Ok(bytes) => bytes,
        Err(error) => return ChartOutcome::Failed(error),
    };
    let told = || reading::format(&bytes, source.path());
    let tune = match from.unwrap_or_else(told) {
        Some(reader) => reading::tune(reader, &bytes, part),
        None => chart_of(&bytes),
    };
    match tune {
        Ok(tune) => {
            let mut remarks = reading::remarks(&tune);
            if let Err(problems) = tune.chart.play_order() {
                remarks.push(Notice::At(problems));
            }
            ChartOutcome::Done(tune, remarks)
        }
        Err(bad) => bad,
    }
}

/// A chart is a tune already; it comes out in the standard layout.
fn chart_of(bytes: &[u8]) -> Result<Tune, ChartOutcome<Tune>> {
    match chart::read_bytes(bytes) {
        Ok(chart) => Ok(Tune {
            text: chart.tidy(),
            chart,
            report: Report::default(),
            places: Vec::new(),
        }),
        Err(problems) => {
            let first = problems.first().map(ToString::to_string);
            let first = first.unwrap_or_default();
            let help = "MusicXML, ABC and MIDI are told by what is in them; --from says it";
            Err(ChartOutcome::Failed(anyhow!(
                "this is no chart: {first}; {help}"
            )))
        }
    }
}
