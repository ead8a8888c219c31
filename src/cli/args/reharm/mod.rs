//! The arguments of `reharm`, as they are typed.

mod count;
mod list;
mod names;

use std::path::PathBuf;

use clap::Args;
use compline::reharm::Ways;
use compline::reharm::techniques::TECHNIQUES;

use super::{HandArguments, Places, ReadingArguments, ReportFormat};

pub use count::{Count, joined};
pub use list::ListArguments;
pub use names::Names;

/// Arguments of `reharm`.
#[derive(Debug, Args)]
pub struct ReharmArguments {
    /// Charts, folders of charts, or `-` for standard input
    #[arg(value_name = "CHART", required_unless_present = "schema")]
    pub charts: Vec<PathBuf>,

    /// Techniques to allow, or with a `-` before them to leave out [default: all]
    #[arg(long, value_name = "NAMES", allow_hyphen_values = true, long_help = ways_help())]
    pub ways: Option<Ways>,

    /// Only proposals that touch no other place than this: bar 3, bars 3-6, or 3.2, the second chord of bar 3
    ///
    /// Written bars are counted from 1. What holds the place is said as well.
    #[arg(long, value_name = "PLACE", conflicts_with = "undo")]
    pub bar: Option<Places>,

    /// Hold this place too: nothing else may stand there
    ///
    /// Held without being asked: the first chord of the form, the last tonic, the end of a phrase and the
    /// dominant before it, lines on one root, basses that walk, pedals, and what the chart marks with `!`.
    #[arg(
        long,
        value_name = "PLACE",
        value_delimiter = ',',
        conflicts_with = "undo"
    )]
    pub hold: Vec<Places>,

    /// Free this place of whatever holds it
    #[arg(
        long,
        value_name = "PLACE",
        value_delimiter = ',',
        conflicts_with = "undo"
    )]
    pub free: Vec<Places>,

    /// Put the proposals of these names into the chart, such as 3:tritone,11-12:backdoor, and print it
    ///
    /// A name is a place and a technique; with `.2` behind it, the second of the technique at that place.
    #[arg(long, value_name = "NAMES", conflicts_with_all = ["changes", "to"])]
    pub apply: Option<Names>,

    /// Make at most N changes, those with which the left hand moves least; `exactly N` for no fewer
    ///
    /// Chords and voicings are decided together. The chart is printed, and on standard error a table:
    /// how far the hand moves with each further change, whether it is proved that no other choice
    /// moves less, and an arrow at the row that was taken.
    #[arg(long, value_name = "[exactly] N")]
    pub changes: Option<Count>,

    /// Print the chart as it was before its chords were replaced
    #[arg(long, conflicts_with_all = ["apply", "changes", "ways", "to"])]
    pub undo: bool,

    /// How to write the list of proposals, or the table of --changes
    ///
    /// As JSON the list, or with --changes the table in place of the chart itself, is one object a chart. It
    /// has all proposals, unless --best says how many.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: ReportFormat,

    /// Print the JSON Schema of the JSON and stop
    #[arg(long, exclusive = true)]
    pub schema: bool,

    /// Write to this file, or into this folder; `-` is standard output
    #[arg(short, long, value_name = "FILE or FOLDER")]
    pub output: Option<PathBuf>,

    /// Replace read-only files as well
    #[arg(long)]
    pub force: bool,

    /// Transpose to this key first, such as Eb or F#m
    #[arg(long, value_name = "KEY")]
    pub key: Option<String>,

    #[command(flatten)]
    pub list: ListArguments,

    #[command(flatten)]
    pub hand: HandArguments,

    #[command(flatten)]
    pub reading: ReadingArguments,
}

fn ways_help() -> String {
    let each = TECHNIQUES.map(|way| format!("\n  {}: {}", way.name, way.rule));
    format!(
        "Techniques to allow, or with a `-` before them to leave out [default: all]\n\n\
         Names joined by commas: tritone,backdoor allows two; all,-borrowed, or --ways=-borrowed, \
         leaves one out.\n{}",
        each.concat()
    )
}
