//! The arguments of `check`, as they are typed.

use std::path::PathBuf;

use anyhow::Result;
use clap::builder::StringValueParser;
use clap::{Args, ValueEnum};

use super::setting_options::{Checking, SettingOptions};
use super::suggested::{self, suggested};
use super::{HandArguments, ReadingArguments};
use crate::cli::settings::{AskedSettings, RULE_LEVELS};

/// What `check` writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CheckFormat {
    /// The line each finding is in, underlined, with what would mend it
    Text,
    /// One line a finding: `file:line:column: severity rule: message`
    Lines,
    /// One JSON object a finding
    Json,
    /// One SARIF 2.1.0 log, for code hosts and editors
    Sarif,
    /// A row a chart
    Table,
}

/// Arguments of `check`.
///
/// Exit status 1 means findings at or above --fail-on; 2 that a chart could not be read (the others
/// are checked all the same).
#[derive(Debug, Args)]
pub struct CheckArguments {
    /// Charts, folders of charts, set lists, JSON written by `voice --to json`, or `-` for standard input
    ///
    /// The tunes of a set list are checked in the keys that it asks for.
    #[arg(value_name = "CHART or FOLDER", required_unless_present_any = ["schema", "rules"])]
    pub charts: Vec<PathBuf>,

    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: CheckFormat,

    #[command(flatten)]
    pub options: SettingOptions<Checking>,

    /// Give a rule another severity, such as muddy=error, or turn it off: untidy=off; may be repeated
    #[arg(
        long,
        value_name = "NAME=LEVEL",
        value_parser = suggested(StringValueParser::new(), suggested::rules),
        hide_possible_values = true
    )]
    pub rule: Vec<String>,

    /// Replan the faulty voicings and hold all others; each chart is rewritten in its place
    ///
    /// Faulty are those with findings that fail (--fail-on) as the chart stands; all that is left is told on
    /// standard error. The program's remarks are written afresh where the chart had some, and left out of one
    /// in a layout of its own. Standard input is mended to standard output.
    #[arg(long, conflicts_with_all = ["to", "record", "roughest"])]
    pub mend: bool,

    /// With --mend, mend known findings as well (--known); they are left alone otherwise
    #[arg(long, requires = "mend")]
    pub all: bool,

    /// With --mend, write to this file, or into this folder; `-` is standard output
    #[arg(short, long, value_name = "FILE or FOLDER", requires = "mend")]
    pub output: Option<PathBuf>,

    /// Replace read-only files as well
    #[arg(long)]
    pub force: bool,

    /// Hold the left hand of a MIDI file against the chart it was played to
    ///
    /// Bars are counted as the chart is played, from the beginning of the file. What is struck within a
    /// quarter of a beat of a chord's place is taken as struck there, so swing and rolled chords do no
    /// harm; up to half a beat ahead it is taken for the chord it leads to. What has no place is told.
    /// Where passes of a repeat are played differently, the bar of the performance is named as well.
    #[arg(long, value_name = "LEFT.mid", conflicts_with = "mend")]
    pub played: Option<PathBuf>,

    /// With --played, the track of the left hand: its name, or its number from 1 [default: the one called
    /// a left hand, else the only one with notes]
    #[arg(long, value_name = "TRACK", requires = "played")]
    pub track: Option<String>,

    /// Write all findings down in this file, as known
    ///
    /// What the file says of charts that are not checked now is kept, unless they are no longer there.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["to", "roughest"])]
    pub record: Option<PathBuf>,

    /// List the N roughest voicings instead, by Hutchinson and Knopoff: a second opinion, no verdict
    #[arg(long, value_name = "N")]
    pub roughest: Option<usize>,

    /// List the rules, with the severities in force, and stop
    #[arg(long)]
    pub rules: bool,

    /// Print the JSON Schema of the JSON and stop
    #[arg(long, exclusive = true)]
    pub schema: bool,

    #[command(flatten)]
    pub hand: HandArguments,

    #[command(flatten)]
    pub reading: ReadingArguments,
}

impl CheckArguments {
    /// What they say about the settings.
    ///
    /// # Errors
    ///
    /// A value that isn't one, naming the option it was given to.
    pub fn asked(&self) -> Result<AskedSettings> {
        let rules = RULE_LEVELS.typed(&self.rule)?;
        Ok(self.hand.asked()?.with(&rules.over(&self.options.layer()?)))
    }
}
