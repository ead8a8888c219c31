//! `limits`: the tables that judge how low an interval may stand.

use std::fmt::Write;

use anyhow::Result;
use compline::hand::{Hand, LimitTable};
use serde_json::{Value, json};

use super::Status;
use super::args::{LimitsArguments, ReportFormat};
use super::settings;
use super::terminal::Terminal;

/// Runs the command.
pub fn run(arguments: &LimitsArguments, terminal: &mut Terminal) -> Result<Status> {
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
        ReportFormat::Json => tables
            .iter()
            .map(|table| format!("{}\n", object(table)))
            .collect(),
    };
    terminal.print(&text)?;
    terminal.flush()?;
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
    let name = compline::hand::name_of(floor);
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

fn object(table: &LimitTable) -> Value {
    let limits = table.rows().map(|(interval, semitones, limit)| {
        json!({
            "interval": interval,
            "semitones": semitones,
            "lowest": limit.floor.map(|floor| floor.midi()),
            "source": limit.provenance.to_string(),
        })
    });
    json!({"table": table.name(), "limits": limits.collect::<Vec<_>>()})
}
