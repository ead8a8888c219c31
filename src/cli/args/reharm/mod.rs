//! The arguments of `reharm`, as they are typed.

mod count;
mod list;
mod names;

use std::path::PathBuf;
use std::str::FromStr;

use anyhow::Result;
use clap::Args;
use compline::reharm::Ways;
use compline::reharm::techniques::TECHNIQUES;

use super::suggested::{self, suggested};
use super::{BarsOrChord, HandArguments, Places, ReadingArguments, ReportFormat};
use crate::cli::settings::{AskedSettings, CHANGE_WEIGHTS};

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
    #[arg(
        long,
        value_name = "NAMES",
        allow_hyphen_values = true,
        value_parser = suggested(Ways::from_str, suggested::techniques),
        hide_possible_values = true,
        long_help = ways_help()
    )]
    pub ways: Option<Ways>,

    /// Only proposals that touch no other places than these: bar 3, bars 3-6, 3.2, the second chord of bar 3, or several
    ///
    /// Written bars are counted from 1; commas stand between places, as in 3,5-6. What holds a place is said as well.
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
    pub hold: Vec<BarsOrChord>,

    /// Free this place of whatever holds it
    #[arg(
        long,
        value_name = "PLACE",
        value_delimiter = ',',
        conflicts_with = "undo"
    )]
    pub free: Vec<BarsOrChord>,

    /// Put the proposals of these names into the chart, such as 3:tritone,11-12:backdoor, and print it
    ///
    /// A name is a place and a technique; with `.2` behind it, the second of the technique at that place.
    #[arg(long, value_name = "NAMES", conflicts_with_all = ["changes", "to"])]
    pub apply: Option<Names>,

    /// Make N changes, the best there are; fewer only where so many don't fit, which `exactly N` refuses
    ///
    /// Chords and voicings are decided together, so that effort + 3 x strain - 4 x leads-on is least, with
    /// no more than two changes of a technique, and none that takes the chord the one just before leads to.
    /// Places that are held, changes that bring nothing, those that
    /// put a chord of the key for another and lead on to nothing, and those of the bass alone, such as
    /// pedals, are left out. The chart is printed, and on standard error a table: a row
    /// for every number of changes up to N, with what they gain and strain together beside the page as
    /// written, whether it is proved that no other choice of so many is better, and an arrow at the row
    /// that was taken. Where fewer changes or none score lower than N, a line says so. On large pages not
    /// every choice can be looked at within a second: the manual says how much is, under SIZES.
    #[arg(long, value_name = "[exactly] N")]
    pub changes: Option<Count>,

    /// Arrange the whole tune K times, from gentle to bold
    ///
    /// Each version differs from the others in at least half of its changes; --changes N says how many
    /// changes it has [default: one for every four bars]. They are compared bar by bar; -o FOLDER writes
    /// each as a chart, and --take N prints one of them.
    #[arg(long, value_name = "K", value_parser = clap::value_parser!(u8).range(1..=9), conflicts_with_all = ["apply", "undo"])]
    pub versions: Option<u8>,

    /// Print this one of the versions as a chart, in place of the comparison
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=9), requires = "versions", conflicts_with = "to")]
    pub take: Option<u8>,

    /// Leave the `lh` row out of account: every chord may be replaced, and its left hand is planned anew
    ///
    /// Without it a chord with notes or a wish in the `lh` row stays as it is, and so does a chart that `voice`
    /// wrote. What is printed has no `lh` row.
    #[arg(long, conflicts_with = "undo")]
    pub replan: bool,

    /// Treat each time a section or a repeat is played as it comes: the page is written out first
    #[arg(long, conflicts_with = "undo")]
    pub vary: bool,

    /// Set a weight of --changes and --versions, such as strain=3, leads-on=4 or of-a-kind=2
    ///
    /// strain: semitones of effort for each point of strain. leads-on: semitones taken off for each link
    /// more that leads on. of-a-kind: no more changes of one technique than this. Settings files have
    /// them under [reharm].
    #[arg(long, value_name = "NAME=N", value_delimiter = ',')]
    pub weigh: Vec<String>,

    /// Widest line of the comparison of --versions, in columns
    #[arg(value_parser = clap::value_parser!(u16).range(20..), long, value_name = "COLUMNS", default_value_t = 80, requires = "versions")]
    pub width: u16,

    /// Print the chart as it was before its chords were replaced
    ///
    /// It comes in the standard layout, since replacing chords puts a page into it: a tidy page comes back to
    /// the byte. The left hand goes with the chords it was for.
    #[arg(long, conflicts_with_all = ["apply", "changes", "ways", "to", "weigh"])]
    pub undo: bool,

    /// How to write the list of proposals, the table of --changes or the comparison of --versions
    ///
    /// As JSON the list, or with --changes the table in place of the chart itself, is one object a chart. It
    /// has all proposals, unless --best says how many. With --versions all versions are one object a chart.
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

impl ReharmArguments {
    /// What they say about the settings.
    ///
    /// # Errors
    ///
    /// A value that isn't one, naming the option it was given to.
    pub fn asked(&self) -> Result<AskedSettings> {
        Ok(self.hand.asked()?.with(&CHANGE_WEIGHTS.typed(&self.weigh)?))
    }
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
