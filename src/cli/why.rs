//! `why`: for each slot, why the left hand plays these notes.

use anyhow::Result;
use compline::arrange::why::{Why, why};
use compline::write::{why_json, why_text};

use super::Status;
use super::args::{ReportFormat, SlotArguments};
use super::slots;
use super::terminal::Terminal;

/// Runs the command.
pub fn run(arguments: &SlotArguments, terminal: &mut Terminal) -> Result<Status> {
    let show = |all: Vec<Why>| {
        let asked = |why: &Why| slots::asked(arguments, &why.slot);
        match arguments.to {
            ReportFormat::Text => why_text(&all, asked),
            ReportFormat::Json => why_json(all.iter().filter(|why| asked(why))),
        }
    };
    slots::run(arguments, "reasons are given", terminal, why, show)
}
