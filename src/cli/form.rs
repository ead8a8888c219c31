//! `form`: in which order the bars of a chart are played.

use anyhow::Result;
use compline::chart::Chart;
use compline::formats::{play_order_json, play_order_schema, play_order_text};

use super::Status;
use super::args::{FormArguments, ReportFormat};
use super::batch;
use super::input;
use super::outcome::ChartOutcome;
use super::reading::ReadOptions;
use super::terminal::Terminal;

/// Runs the command.
pub fn run(arguments: &FormArguments, terminal: &mut Terminal) -> Result<Status> {
    if arguments.schema {
        terminal.print_all(&play_order_schema())?;
        return Ok(Status::Done);
    }
    let reading = ReadOptions::of(&arguments.reading)?;
    let sources = input::sources(&arguments.charts, &reading)?;
    let status = batch::each(
        &sources,
        &reading,
        terminal,
        |_, chart, _, _| report(&chart, arguments.to),
        |_, text, terminal| {
            terminal.print(&text)?;
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

fn report(chart: &Chart, format: ReportFormat) -> ChartOutcome<String> {
    let order = match chart.play_order() {
        Ok(order) => order,
        Err(problems) => return ChartOutcome::Mistaken(problems),
    };
    let text = match format {
        ReportFormat::Text => play_order_text(chart, &order),
        ReportFormat::Json => play_order_json(chart, &order),
    };
    ChartOutcome::Done(text, Vec::new())
}
