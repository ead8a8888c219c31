//! Writers: an arrangement in, text out. One file a format; nothing here touches files or streams.
//!
//! A writer is a row of [`WRITERS`]: its name, the ending of its files, and a function from an
//! arrangement to text.

mod changes;
mod chord;
mod findings;
mod grid;
mod grounding;
mod harmony;
mod harmony_text;
mod json;
mod options;
mod reharm;
mod road;
mod summary;
mod text;
mod why;
mod why_json;
mod why_words;

use crate::arrange::Arrangement;

pub use changes::{ChangesReport, Ladder, changes_json, changes_text};
pub use chord::{ChordReport, chord_text};
pub use findings::{
    Artifact, FindingReport, Ground, Lines, Region, Replacement, Rough, RoughestList, Sameness,
    Sarif, Shown, TableRow, finding_json, findings_schema, opinion_words, rules_json, rules_text,
    table_head, table_row, table_total,
};
pub use grid::{GridStyle, grid};
pub use harmony::{HarmonyReport, harmony_json};
pub use harmony_text::harmony_text;
pub use json::{VoicedChart, json, schema};
pub use options::{OptionReport, options_json, options_text};
pub use reharm::{ProposalReport, bars, proposals_json, proposals_text, reharm_schema};
pub use road::{PlayOrderReport, play_order_json, play_order_text};
pub use text::text;
pub use why::why_text;
pub use why_json::{WhyReport, why_json};

/// How the writers may be told to write.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Style {
    /// Put every candidate of every slot into the JSON.
    pub candidates: bool,
    /// Put into the JSON what each voicing would be taken for, and what to touch so that it is not.
    pub grounding: bool,
    /// Show the motion of the yardsticks beside the plan's.
    pub compare: bool,
    /// How the grid is drawn.
    pub grid: GridStyle,
}

/// A format an arrangement can be written in.
#[derive(Debug, Clone, Copy)]
pub struct Writer {
    /// The name it is asked for by.
    pub name: &'static str,
    /// The ending of its files.
    pub ending: &'static str,
    /// The text of an arrangement, ending in a line feed.
    pub write: fn(&Arrangement, &Style) -> String,
}

/// Every format.
pub const WRITERS: &[Writer] = &[
    Writer {
        name: "text",
        ending: "chart",
        write: |arrangement, style| text(arrangement, style.compare),
    },
    Writer {
        name: "json",
        ending: "json",
        write: |arrangement, style| json(arrangement, style),
    },
    Writer {
        name: "grid",
        ending: "txt",
        write: |arrangement, style| grid(arrangement, style),
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
