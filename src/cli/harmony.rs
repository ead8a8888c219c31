//! `harmony`: the key, numeral and function of every chord.

use anyhow::Result;
use compline::chart::Chart;
use compline::formats::{harmony_json, harmony_schema, harmony_text};

use super::Status;
use super::args::{HarmonyArguments, ReportFormat};
use super::batch;
use super::outcome::{ChartResult, NoResult, Notice};
use super::terminal::Terminal;

/// Runs the command.
pub fn run(arguments: &HarmonyArguments, terminal: &mut Terminal) -> Result<Status> {
    if arguments.schema {
        terminal.print_all(&harmony_schema())?;
        return Ok(Status::Done);
    }
    let between = match arguments.to {
        ReportFormat::Text => "\n",
        ReportFormat::Json => "",
    };
    let charts = (&arguments.charts[..], &arguments.reading);
    batch::reports(charts, between, terminal, |chart| report(chart, arguments))
}

fn report(chart: &Chart, arguments: &HarmonyArguments) -> ChartResult<String> {
    let order = chart.play_order();
    let order = order.map_err(|problems| NoResult::Mistaken(problems.into()))?;
    let write = match arguments.to {
        ReportFormat::Text => harmony_text,
        ReportFormat::Json => harmony_json,
    };
    let remarks = Notice::uncarried(chart, arguments.looped)?;
    Ok((write(chart, &order, arguments.looped), remarks))
}
