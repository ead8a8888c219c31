//! The arguments of `voice`, and those it shares with `drill`, as they are typed.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use compline::chart::sizes::MOST_ALTERNATIVES;
use compline::formats::writers::{self, Writer};

use super::{
    GROUNDING, HandArguments, PageArguments, PerformingArguments, ReadingArguments, TuneArguments,
};

/// What is written of an arrangement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum VoiceFormat {
    /// A chart with the left hand under the symbols
    Text,
    /// One JSON object a chart
    Json,
    /// Pitches against time, to be printed
    Grid,
    /// A score for notation programs: melody, left hand, chord symbols (MusicXML 4.0)
    Musicxml,
    /// The performance for sequencers (Standard MIDI File)
    Midi,
    /// The page in staff notation, as a picture
    Svg,
    /// The page in staff notation, to be printed
    Pdf,
    /// The performance as sound, for judging voicings and not for listening pleasure
    Wav,
}

impl VoiceFormat {
    /// What writes it.
    pub const fn writer(self) -> &'static Writer {
        match self {
            Self::Text => &writers::TEXT,
            Self::Json => &writers::JSON,
            Self::Grid => &writers::GRID,
            Self::Musicxml => &writers::MUSICXML,
            Self::Midi => &writers::MIDI,
            Self::Svg => &writers::SVG,
            Self::Pdf => &writers::PDF,
            Self::Wav => &writers::WAV,
        }
    }
}

fn alternatives_help() -> String {
    format!(
        "List the N best different plans, exactly ranked, the plan itself being the first; at most {MOST_ALTERNATIVES}"
    )
}

/// How many plans are listed.
fn alternatives(text: &str) -> Result<usize, String> {
    let number = text
        .parse()
        .ok()
        .filter(|number| *number <= MOST_ALTERNATIVES);
    number.ok_or_else(|| format!("from 0 to {MOST_ALTERNATIVES} plans are listed"))
}

/// Arguments of `voice`.
#[derive(Debug, Args)]
pub struct VoiceArguments {
    /// Charts, folders of charts, set lists, or `-` for standard input
    ///
    /// A set list (NAME.set) has a line a tune, in the order they are played: the chart's file, then
    /// `key: Eb` and `tempo: 120` where they are not the chart's. `title:` names the evening, `;` starts a
    /// comment.
    #[arg(value_name = "CHART", required_unless_present = "schema")]
    pub charts: Vec<PathBuf>,

    /// Print the JSON Schema of the JSON and stop
    #[arg(long, exclusive = true)]
    pub schema: bool,

    /// Write the left hand into each chart itself
    #[arg(long, conflicts_with_all = ["output", "key"])]
    pub in_place: bool,

    /// Leave the `lh` rows of the charts out of account: every left hand is planned anew
    ///
    /// For a voiced chart that goes into another key: without it the hand moves along, however low.
    #[arg(long)]
    pub replan: bool,

    #[command(flatten)]
    pub writing: WritingArguments,
}

/// How arrangements are planned and written: shared by `voice` and `drill`.
#[derive(Debug, Args)]
pub struct WritingArguments {
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: VoiceFormat,

    /// Write to this file, or into this folder; `-` is standard output
    #[arg(short, long, value_name = "FILE or FOLDER")]
    pub output: Option<PathBuf>,

    /// Replace read-only files as well
    #[arg(long)]
    pub force: bool,

    /// Write every pass of a repeat out, each free to differ, and say what the page would cost
    #[arg(long)]
    pub as_played: bool,

    #[arg(long, help = alternatives_help(), value_name = "N", default_value_t = 0, hide_default_value = true, value_parser = alternatives)]
    pub alternatives: usize,

    /// Show the totals beside two plain ways of playing the same chords
    ///
    /// `block-root`: every chord in root position, its root between C3 and B3. `block-nearest`: close
    /// position in whatever inversion lies nearest, planned for least motion.
    #[arg(long)]
    pub compare: bool,

    /// Put every candidate of every slot into the JSON, so that anybody can check the plan
    #[arg(long)]
    pub candidates: bool,

    /// Put into the JSON what each voicing would be taken for, and what to touch so that it is not
    #[arg(long, long_help = GROUNDING)]
    pub grounding: bool,

    /// Widest line of the grid, in columns
    #[arg(value_parser = clap::value_parser!(u16).range(1..), long, value_name = "COLUMNS", default_value_t = 96)]
    pub width: u16,

    /// Draw the grid with ASCII characters only
    #[arg(long)]
    pub ascii: bool,

    #[command(flatten)]
    pub page: PageArguments,

    #[command(flatten)]
    pub performing: PerformingArguments,

    #[command(flatten)]
    pub hand: HandArguments,

    #[command(flatten)]
    pub tune: TuneArguments,

    #[command(flatten)]
    pub reading: ReadingArguments,
}
