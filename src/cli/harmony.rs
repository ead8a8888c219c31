//! `harmony`: the key, numeral and function of every chord.

use anyhow::Result;
use compline::chart::Chart;
use compline::formats::{harmony_json, harmony_schema, harmony_text};

use super::Status;
use super::args::{HarmonyArguments, ReportFormat};
use super::batch;
use super::input;
use super::outcome::{ChartOutcome, Notice};
use super::reading::ReadOptions;
use super::terminal::Terminal;

/// Runs the command.
pub fn run(arguments: &HarmonyArguments, terminal: &mut Terminal) -> Result<Status> {
    if arguments.schema {
        terminal.print_all(&harmony_schema())?;
        return Ok(Status::Done);
    }
    let reading = ReadOptions::of(&arguments.reading)?;
    let sources = input::sources(&arguments.charts, &reading)?;
    let status = batch::each(
        &sources,
        &reading,
        terminal,
        |_, chart, _, _| report(&chart, arguments),
        |at, text, terminal| {
            if at > 0 && arguments.to == ReportFormat::Text {
                terminal.write(b"\n")?;
            }
            terminal.print(&text)?;
            Ok(Status::Done)
        },
    )?;
    terminal.flush()?;
    Ok(status)
}

fn report(chart: &Chart, arguments: &HarmonyArguments) -> ChartOutcome<String> {
    let order = match chart.play_order() {
        Ok(order) => order,
        Err(problems) => return ChartOutcome::Mistaken(problems),
    };
    let write = match arguments.to {
        ReportFormat::Text => harmony_text,
        ReportFormat::Json => harmony_json,
    };
    match Notice::uncarried(chart, arguments.looped) {
        Ok(remarks) => ChartOutcome::Done(write(chart, &order, arguments.looped), remarks),
        Err(trouble) => trouble.into(),
    }
}
