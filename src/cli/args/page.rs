//! What a printed page shows, as it is typed.

use clap::{Args, ValueEnum};
use compline::formats::page::{Content, Labels, PageOptions, Paper};

const PAGE: &str = "On paper (--to pdf, --to svg)";

/// What a printed page shows.
#[derive(Debug, Args)]
pub struct PageArguments {
    /// What stands on the page
    #[arg(long, value_name = "CONTENT", default_value = "full", help_heading = PAGE)]
    pub page: ContentName,

    /// The paper
    #[arg(long, value_name = "PAPER", default_value = "a4", help_heading = PAGE)]
    pub paper: PaperName,

    /// Write under each chord of the left hand what its notes are in the chord, the lowest at the bottom
    #[arg(long, help_heading = PAGE)]
    pub degrees: bool,

    /// Write under each chord of the left hand the names of its notes, the lowest at the bottom
    #[arg(long, conflicts_with = "degrees", help_heading = PAGE)]
    pub names: bool,
}

/// What stands on the page, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ContentName {
    /// Melody, left hand and chord symbols
    Full,
    /// Melody and chord symbols
    Lead,
    /// Left hand and chord symbols
    Left,
    /// The note grid: keys against time, with the degrees of the notes or, with `--names`, their names
    Grid,
}

/// The paper, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PaperName {
    /// 210 by 297 mm
    A4,
    /// 8.5 by 11 inches
    Letter,
}

impl PageArguments {
    /// The arguments, understood.
    pub const fn options(&self) -> PageOptions {
        PageOptions {
            paper: match self.paper {
                PaperName::A4 => Paper::A4,
                PaperName::Letter => Paper::Letter,
            },
            content: match self.page {
                ContentName::Full => Content::Full,
                ContentName::Lead => Content::Lead,
                ContentName::Left => Content::Left,
                ContentName::Grid => Content::Grid,
            },
            labels: match (self.degrees, self.names) {
                (true, _) => Labels::Degrees,
                (_, true) => Labels::Names,
                _ => Labels::None,
            },
        }
    }
}
