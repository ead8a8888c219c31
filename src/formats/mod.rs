//! The formats, one file or folder each, reading beside writing. Nothing here touches files or streams.
//!
//! A writer is a row of [`WRITERS`]: its name, the ending of its files, and a function from an
//! arrangement to text.

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
pub mod zip;

use crate::arrange::Arrangement;
use crate::score::{Performing, Score, Timeline};

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

/// A format an arrangement can be written in.
#[derive(Debug, Clone, Copy)]
pub struct Writer {
    /// The name it is asked for by.
    pub name: &'static str,
    /// The ending of its files.
    pub ending: &'static str,
    /// How its bytes come about; text ends in a line feed.
    pub write: Write,
}

/// How the bytes of a format come about.
#[derive(Debug, Clone, Copy)]
pub enum Write {
    /// From the arrangement.
    Plain(fn(&Arrangement, &Style) -> Vec<u8>),
    /// From the drawing of its pages.
    Drawn(fn(&page::Drawing) -> Vec<u8>),
    /// As it sounds, unless that would take too long.
    Heard(fn(&Arrangement, &Style) -> Result<Vec<u8>, sound::TooLong>),
}

/// Every format.
pub const WRITERS: &[Writer] = &[
    Writer {
        name: "text",
        ending: "chart",
        write: Write::Plain(|arrangement, style| text(arrangement, style).into()),
    },
    Writer {
        name: "json",
        ending: "json",
        write: Write::Plain(|arrangement, style| json(arrangement, style).into()),
    },
    Writer {
        name: "grid",
        ending: "txt",
        write: Write::Plain(|arrangement, style| grid(arrangement, style).into()),
    },
    Writer {
        name: "musicxml",
        ending: "musicxml",
        write: Write::Plain(|arrangement, _| musicxml::musicxml(&Score::of(arrangement)).into()),
    },
    Writer {
        name: "midi",
        ending: "mid",
        write: Write::Plain(|arrangement, style| midi::midi(arrangement, &style.performing)),
    },
    Writer {
        name: "svg",
        ending: "svg",
        write: Write::Drawn(|drawing| page::svg(drawing).into()),
    },
    Writer {
        name: "pdf",
        ending: "pdf",
        write: Write::Drawn(page::pdf),
    },
    Writer {
        name: "wav",
        ending: "wav",
        write: Write::Heard(|arrangement, style| {
            sound::wav(&Timeline::of(arrangement, &style.performing), style.sound)
        }),
    },
];

/// The writer with this name.
pub fn writer(name: &str) -> Option<&'static Writer> {
    WRITERS.iter().find(|writer| writer.name == name)
}

#[cfg(test)]
mod tests {
    use super::WRITERS;

    #[test]
    fn names_and_endings_are_told_apart() {
        for (at, one) in WRITERS.iter().enumerate() {
            for other in &WRITERS[at + 1..] {
                assert_ne!(one.name, other.name);
                assert_ne!(one.ending, other.ending);
            }
        }
    }
}
