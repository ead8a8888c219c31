//! `why`: for each slot, why the left hand plays these notes.

use anyhow::Result;
use compline::explain::why::{Why, why};
use compline::formats::{why_json, why_schema, why_text};

use super::Status;
use super::args::{ReportFormat, WhyArguments};
use super::slots;
use super::terminal::Terminal;

/// Runs the command.
pub fn run(arguments: &WhyArguments, terminal: &mut Terminal) -> Result<Status> {
    let grounding = arguments.grounding;
    let arguments = &arguments.slots;
    let show = |all: Vec<Why>| {
        let indices = slots::asked(arguments, all.iter().map(|why| &why.slot));
        let asked = |why: &Why| indices.contains(&why.slot.index);
        match arguments.to {
            ReportFormat::Text => why_text(&all, grounding, asked),
            ReportFormat::Json => why_json(all.iter().filter(|why| asked(why)), grounding),
        }
    };
    slots::run(
        arguments,
        "reasons are given",
        why_schema,
        terminal,
        why,
        show,
    )
}
