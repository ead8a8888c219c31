//! `limits`: the tables that judge how low an interval may stand.

use std::fmt::Write;

use anyhow::Result;
use compline::formats::{limits_json, limits_schema};
use compline::hand::{Hand, LimitTable};

use super::Status;
use super::args::{LimitsArguments, ReportFormat};
use super::settings;
use super::terminal::Terminal;

/// Runs the command.
pub fn run(arguments: &LimitsArguments, terminal: &mut Terminal) -> Result<Status> {
    if arguments.schema {
        terminal.print_all(&limits_schema())?;
        return Ok(Status::Done);
    }
    let tables = match &arguments.limits {
        Some(name) => vec![settings::limits(name)?],
        None => vec![
            compline::hand::handbook(),
            compline::hand::series(),
            compline::hand::scores(),
        ],
    };
    let text = match arguments.to {
        ReportFormat::Text => report(&tables),
        ReportFormat::Json => limits_json(&tables),
    };
    terminal.print_all(&text)?;
    Ok(Status::Done)
}

/// The tables side by side: for each interval, the lowest its lower note may lie.
fn report(tables: &[LimitTable]) -> String {
    let mut text = String::from("The lowest a lower note may lie, by interval\n\n");
    let _ = write!(text, "{:<9} {:>9}", "interval", "semitones");
    for table in tables {
        let _ = write!(text, "  {:<43}", table.name());
    }
    text = text.trim_end().to_owned() + "\n";
    let rows = tables.first().into_iter().flat_map(LimitTable::rows);
    for (interval, semitones, _) in rows {
        let mut line = format!("{interval:<9} {semitones:>9}");
        for table in tables {
            let _ = write!(line, "  {:<43}", cell(table, semitones));
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text.push_str(&in_force());
    text
}

fn cell(table: &LimitTable, semitones: u8) -> String {
    let limit = table.rows().find(|row| row.1 == semitones).map(|row| row.2);
    let Some(limit) = limit else {
        return String::new();
    };
    let Some(floor) = limit.floor else {
        return "none".to_owned();
    };
    let name = compline::pitch::Note::usual(floor);
    format!("{name} ({}), {}", floor.midi(), limit.provenance)
}

fn in_force() -> String {
    let hand = Hand::default();
    format!(
        "\nBy default {} judges, the range is {}, the reach {} semitones.\n\
         A limit holds for every pair of notes. The texts call them guidelines, and no two agree.\n{}\n",
        hand.limits.name(),
        hand.range,
        hand.reach,
        compline::explain::CAUTION
    )
}
