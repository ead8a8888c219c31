//! `form`: in which order the bars of a chart are played.

use anyhow::Result;
use compline::chart::Chart;
use compline::formats::{play_order_json, play_order_schema, play_order_text};

use super::Status;
use super::args::{FormArguments, ReportFormat};
use super::batch;
use super::outcome::{ChartResult, NoResult};
use super::terminal::Terminal;

/// Runs the command.
pub fn run(arguments: &FormArguments, terminal: &mut Terminal) -> Result<Status> {
    if arguments.schema {
        terminal.print_all(&play_order_schema())?;
        return Ok(Status::Done);
    }
    let charts = (&arguments.charts[..], &arguments.reading);
    batch::reports(charts, "", terminal, |chart| report(chart, arguments.to))
}

fn report(chart: &Chart, format: ReportFormat) -> ChartResult<String> {
    let order = chart.play_order();
    let order = order.map_err(|problems| NoResult::Mistaken(problems.into()))?;
    let text = match format {
        ReportFormat::Text => play_order_text(chart, &order),
        ReportFormat::Json => play_order_json(chart, &order),
    };
    Ok((text, Vec::new()))
}
