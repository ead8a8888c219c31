//! `form`: in which order the bars of a chart are played.

use anyhow::Result;
use compline::chart::Chart;
use compline::formats::{play_order_json, play_order_schema, play_order_text};

use super::Status;
use super::args::{FormArguments, ReportFormat};
use super::batch;
use super::outcome::ChartOutcome;
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

fn report(chart: &Chart, format: ReportFormat) -> ChartOutcome<String> {
    let order = match chart.play_order() {
        Ok(order) => order,
        Err(problems) => return ChartOutcome::Mistaken(problems.into()),
    };
    let text = match format {
        ReportFormat::Text => play_order_text(chart, &order),
        ReportFormat::Json => play_order_json(chart, &order),
    };
    ChartOutcome::Done(text, Vec::new())
}
