//! `form`: in which order the bars of a chart are played.

use anyhow::Result;
use compline::chart::Chart;
use compline::write::{road_json, road_text};

use super::Status;
use super::args::{FormArguments, ReportFormat};
use super::batch::{self, Outcome};
use super::input;
use super::terminal::Terminal;

/// Runs the command.
pub fn run(arguments: &FormArguments, terminal: &mut Terminal) -> Result<Status> {
    let sources = input::sources(&arguments.charts)?;
    let status = batch::each(
        &sources,
        terminal,
        |_, chart, _, _| report(&chart, arguments.to),
        |_, text, terminal| {
            terminal.out().write_all(text.as_bytes())?;
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

fn report(chart: &Chart, format: ReportFormat) -> Outcome<String> {
    let road = match chart.road() {
        Ok(road) => road,
        Err(problems) => return Outcome::Mistaken(problems),
    };
    let text = match format {
        ReportFormat::Text => road_text(chart, &road),
        ReportFormat::Json => road_json(chart, &road),
    };
    Outcome::Done(text, Vec::new())
}
