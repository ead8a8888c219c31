//! The arguments of `check`, as they are typed.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{HandArguments, ReadingArguments};

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

/// Severities, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SeverityName {
    /// Worth knowing
    Note,
    /// It sounds or moves worse than it need
    Warning,
    /// It can't be played, or isn't the chord
    Error,
}

/// Arguments of `check`.
///
/// Exit status 1 means findings at or above --fail-on; 2 that a chart could not be read (the others
/// are checked all the same).
#[derive(Debug, Args)]
pub struct CheckArguments {
    /// Charts, folders of charts, JSON written by `voice --to json`, or `-` for standard input
    #[arg(value_name = "CHART or FOLDER", required_unless_present_any = ["schema", "rules"])]
    pub charts: Vec<PathBuf>,

    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: CheckFormat,

    /// The least severity that fails [default: warning]
    #[arg(long, value_name = "SEVERITY")]
    pub fail_on: Option<SeverityName>,

    /// Give a rule another severity, such as muddy=error, or turn it off: untidy=off; may be repeated
    #[arg(long, value_name = "NAME=LEVEL")]
    pub rule: Vec<String>,

    /// Replan the faulty voicings and hold all others; each chart is rewritten in its place
    ///
    /// What is left is told on standard error. Standard input is mended to standard output.
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

    /// Only findings that are not in this file fail
    #[arg(long, value_name = "FILE")]
    pub known: Option<PathBuf>,

    /// What one voicing may cost the tune for `restless-hand`: semitones of motion beyond its best
    /// alternative [default: 5]
    ///
    /// Each voicing that is given is held against the best alternative in its place, everything else
    /// held. One that makes the hand move further than it need by more than this, each time it is
    /// played, is a detour: a note up to an octave, a warning beyond. `; waive restless-hand: why` beside
    /// it says that it is meant.
    #[arg(long, value_name = "SEMITONES")]
    pub detour: Option<u32>,

    /// How much more effort than the best plan a whole hand may make for `restless-hand` [default:
    /// 3/2+12]
    ///
    /// 3/2+12: half as much again, and more than twelve semitones beyond it. Both must be passed.
    #[arg(long, value_name = "RATIO+SEMITONES")]
    pub restless: Option<String>,

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
