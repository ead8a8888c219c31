//! The formats, one file or folder each, reading beside writing. Nothing here touches files or streams.
//!
//! A writer is a row of [`writers::WRITERS`]: its name, the ending of its files, and a function from an
//! arrangement to bytes.

pub mod abc;
mod chord;
pub mod encoding;
mod findings;
mod grid;
mod grounding;
mod harmony;
mod home;
mod json;
mod limits;
pub mod midi;
pub mod musicxml;
pub mod page;
mod play_order;
pub mod readers;
mod reharm;
pub mod report;
pub mod song;
pub mod sound;
mod summary;
mod text;
pub mod unreadable;
mod voicing_options;
mod why;
pub mod writers;
pub mod zip;

use crate::score::Performing;

pub use chord::{ChordReport, chord_schema, chord_text, unread_symbol_json};
pub use findings::{
    Artifact, FindingReport, Fingerprint, Lines, RecordEntry, RecordReport, Region, Rough,
    RoughestList, Sarif, Shown, ShownChart, TableRow, TextEdit, finding_json, finding_line,
    findings_schema, opinion_words, rules_json, rules_text, table_head, table_row, table_total,
    unread_json, unread_line,
};
pub use grid::{GridStyle, grid};
pub use harmony::{HarmonyReport, harmony_json, harmony_schema, harmony_text};
pub use json::{ChartFromJson, NotVoiced, VoicedChart, json, other_settings, read_voiced, schema};
pub use limits::{limits_json, limits_schema};
pub use play_order::{PlayOrderReport, play_order_json, play_order_schema, play_order_text};
pub use reharm::{
    ChangesReport, Comparison, Ladder, ProposalsReport, VersionsReport, changes_json, changes_text,
    held_text, proposals_json, ranking_text, reasons_text, reharm_schema, versions_json,
    versions_text,
};
pub use text::{remarked, text};
pub use voicing_options::{OptionReport, options_json, options_schema, options_text};
pub use why::{WhyReport, why_json, why_schema, why_text};
pub use writers::{Write, Writer};

/// How the writers may be told to write.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Style {
    /// Put every candidate of every slot into the JSON.
    pub candidates: bool,
    /// Put into the JSON what each voicing would be taken for, and what to touch so that it is not.
    pub grounding: bool,
    /// Show the motion of the yardsticks beside the plan's.
    pub compare: bool,
    /// Show every number that plans are compared by, not the effort alone.
    pub details: bool,
    /// How the grid is drawn.
    pub grid: GridStyle,
    /// What is added to the notes where they sound.
    pub performing: Performing,
    /// What a printed page shows.
    pub page: page::PageOptions,
    /// How a performance is made to sound.
    pub sound: sound::SoundOptions,
}
