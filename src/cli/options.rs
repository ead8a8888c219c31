//! `options`: every legal voicing of a chart's slots, with its price.

use anyhow::Result;
use compline::arrange::{OptionsOfSlot, options};
use compline::formats::{options_json, options_schema, options_text};

use super::Status;
use super::args::{ReportFormat, SlotArguments};
use super::slots;
use super::terminal::Terminal;

/// Runs the command.
pub fn run(arguments: &SlotArguments, terminal: &mut Terminal) -> Result<Status> {
    let show = |mut all: Vec<OptionsOfSlot>| {
        let asked = slots::asked(arguments, all.iter().map(|options| &options.slot));
        all.retain(|options| asked.contains(&options.slot.index));
        match arguments.to {
            ReportFormat::Text => options_text(&all),
            ReportFormat::Json => options_json(&all),
        }
    };
    slots::run(
        arguments,
        "options are listed",
        options_schema,
        terminal,
        options,
        show,
    )
}
