//! The arguments, as they are typed. Nothing here acts: [`super::settings`] makes settings of them.
//!
//! Those of the larger commands, and what several commands share, have files of their own.

mod alone;
mod bars_or_chord;
mod check;
mod convert;
mod drill;
mod examples;
mod hand;
mod messages;
mod page;
mod performing;
mod places;
mod reading;
mod reharm;
mod setting_options;
mod suggested;
mod voice;

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use clap::error::{ContextKind, ContextValue};
use clap::{Args, CommandFactory, FromArgMatches, Parser, Subcommand, ValueEnum};

pub use bars_or_chord::BarsOrChord;
pub use check::{CheckArguments, CheckFormat};
pub use convert::ConvertArguments;
pub use drill::{DrillArguments, Tempi};
pub use examples::examples;
pub use hand::{HandArguments, SpellingName, TuneArguments};
pub use messages::{ColorWhen, MessageArguments};
pub use page::PageArguments;
pub use performing::{BassName, PerformingArguments};
pub use places::Places;
pub use reading::{InputFormat, ReadingArguments};
pub use reharm::{Count, ListArguments, Names, ReharmArguments, joined};
pub use voice::{VoiceArguments, VoiceFormat, WritingArguments};

/// Turns a lead sheet into a left hand for the piano.
///
/// A chart goes in, a chart with a voiced left hand comes out: as smooth as it can be, never muddy,
/// within reach, out of the melody's way.
#[derive(Debug, Parser)]
#[command(name = "compline", version, max_term_width = 100, after_help = EXIT_STATUS)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,

    #[command(flatten)]
    pub messages: MessageArguments,
}

/// The whole command line, with examples in the help of every command.
pub fn command() -> clap::Command {
    examples::with_examples(Arguments::command())
}

/// Reads what was typed.
///
/// # Errors
///
/// Wrong usage; the help or the version, where they are asked for.
pub fn parse(words: Vec<OsString>) -> Result<Arguments, clap::Error> {
    if let Some(arguments) = alone::parse(&words) {
        return Ok(arguments);
    }
    let matches = command().try_get_matches_from(asked_for_help(words));
    let matches = matches.map_err(told_of_commands)?;
    Arguments::from_arg_matches(&matches)
}

/// Where a file stands in the place of a command, says which command is most likely meant.
fn told_of_commands(mut error: clap::Error) -> clap::Error {
    let word = match error.get(ContextKind::InvalidSubcommand) {
        Some(ContextValue::String(word)) => word.clone(),
        _ => return error,
    };
    if Path::new(&word).exists() {
        let tip = format!("a command comes first: `compline voice {word}` writes a left hand");
        error.insert(
            ContextKind::Suggested,
            ContextValue::StyledStrs(vec![tip.into()]),
        );
    }
    error
}

/// `help check` as `check --help`: so a misspelled command gets a suggestion.
fn asked_for_help(mut words: Vec<OsString>) -> Vec<OsString> {
    if let [_, help, _] = words.as_slice()
        && help == "help"
    {
        words.remove(1);
        words.push("--help".into());
    }
    words
}

/// What the exit status means.
pub const EXIT_STATUS: &str = "Exit status: 0 done; 1 read, but no legal voicing or a chart that fails \
a check; 2 wrong usage, unreadable input, or output that could not be written.";

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Plan the left hand of charts and write them out
    Voice(VoiceArguments),
    /// Lay a chart, some of its bars or a formula of chords through the keys, planned as one performance
    ///
    /// Each key begins where the one before left the hand. A formula is Roman numerals with qualities:
    /// `ii-V-I`, `iiø-V7-i`, `I VI7 | ii V`. A numeral alone is the key's own seventh chord there; with an i
    /// it is in minor. A numeral behind a slash is the degree a chord leads to, `V7/ii`; a number is the bass, a
    /// degree of the scale, `I-V/7-vi` or `I/5`, and a numeral alone over it is a triad. A chord lasts a bar,
    /// the last one two where that makes the bars even; with bar lines, the chords of a bar share it. The
    /// result is a chart like any other, a section a key.
    ///
    /// Leaving out a usual tension costs 16 here, unless --surcharge or a settings file says otherwise, so that
    /// the usual forms are what is practised.
    Drill(DrillArguments),
    /// List every voicing a chart's chords could have, and what each would cost the tune
    Options(SlotArguments),
    /// Hold voiced charts against the rules and say what is wrong, where, and what would mend it
    ///
    /// A chart that has no left hand yet is no fault; it is named at the end. What is meant as it is can
    /// be waived in the chart, in a comment with the reason: `; waive muddy: low on purpose`. Beside or
    /// above a row of music it holds for the bars of that line, beside a heading for the section, at the
    /// top for the chart; `; waive muddy in bar 7.2: ...` says so itself. A waiver that is of no use is a
    /// finding.
    ///
    /// Known findings (--record, --known) are told apart by chart, rule, section, chord and notes, so bars
    /// put in elsewhere don't make them new.
    ///
    /// How rough a voicing sounds stands beside each finding of `muddy`. It is a second opinion and judges
    /// nothing.
    Check(Box<CheckArguments>),
    /// Say for each chord why the left hand plays these notes
    Why(WhyArguments),
    /// Explain how chord symbols are read
    Chord(ChordArguments),
    /// Turn MusicXML, ABC or MIDI into charts
    Convert(ConvertArguments),
    /// Print charts in their standard layout
    Tidy(TidyArguments),
    /// Print in which order the bars of charts are played
    Form(FormArguments),
    /// Print the key, numeral and function of every chord under the changes
    ///
    /// key: where a region begins. num: numeral. does: function. to: where it resolves, or (where it
    /// would). takes, avoids: tensions and notes to avoid in this place; the left hand takes its colours
    /// from there. One cadence on another degree is not yet a change of key; a second one there is.
    ///
    /// Functions are cut short: subdom is subdominant, dom dominant, second secondary dominant, related the ii
    /// before such a dominant, minor-ii the half-diminished ii of a minor ii-V, tritone tritone substitute. JSON
    /// has the whole names.
    Harmony(HarmonyArguments),
    /// List, apply or choose other chords that the melody accepts
    ///
    /// Every proposal has its reason, and says what each melody note becomes over it. Chords under notes
    /// or wishes in an `lh` row are left alone. A changed chart says in its `was` rows what it was, so that
    /// --undo can take everything back.
    Reharm(ReharmArguments),
    /// Print the tables and limits in force
    Limits(LimitsArguments),
    /// Print a completion script for a shell
    Completions(CompletionsArguments),
    /// Print the manual: a page of the program, and one of each command
    Man(ManArguments),
}

const GROUNDING: &str = "Say what each voicing would be taken for, and what to touch so that it is not

Without its root a chord can be another one: the notes of Dm9 without D are Fmaj7. `heard as` lists \
the chords on other roots that have these notes, most likely first; `touch` names the root and the \
guide tones (third and seventh) that the right hand, or the bass, would touch to make the chord clear. \
With voice, only the JSON has them.";

/// Text for people, or JSON.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ReportFormat {
    /// For people
    Text,
    /// For programs
    Json,
}

/// Arguments of `options`, and shared by `why`: both go through a chart slot by slot.
#[derive(Debug, Args)]
pub struct SlotArguments {
    /// The chart, a set list, or `-` for standard input
    ///
    /// The tunes of a set list come one after the other, in the keys that it asks for.
    #[arg(value_name = "CHART", required_unless_present = "schema")]
    pub chart: Option<PathBuf>,

    /// Only these places: bar 3, bars 3-6, 3.2, the second chord of bar 3, or several, as in 3,5-6
    #[arg(long, value_name = "PLACE")]
    pub bar: Option<Places>,

    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: ReportFormat,

    /// Print the JSON Schema of the JSON and stop
    #[arg(long, exclusive = true)]
    pub schema: bool,

    #[command(flatten)]
    pub hand: HandArguments,

    #[command(flatten)]
    pub tune: TuneArguments,

    #[command(flatten)]
    pub reading: ReadingArguments,
}

/// Arguments of `why`.
#[derive(Debug, Args)]
pub struct WhyArguments {
    /// Say also what each chord's notes would be taken for, and what to touch so that they are not
    #[arg(long, long_help = GROUNDING)]
    pub grounding: bool,

    #[command(flatten)]
    pub slots: SlotArguments,
}

/// Arguments of `chord`.
#[derive(Debug, Args)]
pub struct ChordArguments {
    /// Chord symbols, such as Fm7 G7alt 'C7(b9)'
    #[arg(value_name = "SYMBOL", required_unless_present = "schema")]
    pub symbols: Vec<String>,

    /// How to name notes: strict, as theory has them, or practical, without double sharps and flats
    #[arg(long, value_name = "HOW", default_value = "strict")]
    pub spelling: SpellingName,

    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: ReportFormat,

    /// Print the JSON Schema of the JSON and stop
    #[arg(long, exclusive = true)]
    pub schema: bool,
}

/// Arguments of `tidy`.
#[derive(Debug, Args)]
pub struct TidyArguments {
    /// Charts, folders of charts, set lists, or `-` for standard input
    ///
    /// The tunes of a set list are printed in the keys that it asks for; with --check and --in-place they keep
    /// their own.
    #[arg(value_name = "CHART", required = true)]
    pub charts: Vec<PathBuf>,

    /// Write nothing; exit with 1 and name the charts that aren't in their standard layout
    #[arg(long)]
    pub check: bool,

    /// Write to this file, or into this folder; `-` is standard output
    #[arg(short, long, value_name = "FILE or FOLDER", conflicts_with = "check")]
    pub output: Option<PathBuf>,

    /// Rewrite each chart in its place
    #[arg(long, conflicts_with_all = ["check", "output"])]
    pub in_place: bool,

    /// Replace read-only files as well
    #[arg(long)]
    pub force: bool,

    /// Transpose to this key, such as Eb or F#m
    #[arg(long, value_name = "KEY", conflicts_with = "check")]
    pub key: Option<String>,

    #[command(flatten)]
    pub reading: ReadingArguments,
}

/// Arguments of `form`.
#[derive(Debug, Args)]
pub struct FormArguments {
    /// Charts, folders of charts, set lists, or `-` for standard input
    #[arg(value_name = "CHART", required_unless_present = "schema")]
    pub charts: Vec<PathBuf>,

    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: ReportFormat,

    /// Print the JSON Schema of the JSON and stop
    #[arg(long, exclusive = true)]
    pub schema: bool,

    #[command(flatten)]
    pub reading: ReadingArguments,
}

/// Arguments of `harmony`.
#[derive(Debug, Args)]
pub struct HarmonyArguments {
    /// Charts, folders of charts, set lists, or `-` for standard input
    ///
    /// The tunes of a set list are read in the keys that it asks for.
    #[arg(value_name = "CHART", required_unless_present = "schema")]
    pub charts: Vec<PathBuf>,

    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: ReportFormat,

    /// The last chord goes on to the first
    #[arg(long = "loop")]
    pub looped: bool,

    /// Print the JSON Schema of the JSON and stop
    #[arg(long, exclusive = true)]
    pub schema: bool,

    #[command(flatten)]
    pub reading: ReadingArguments,
}

/// Arguments of `limits`.
#[derive(Debug, Args)]
pub struct LimitsArguments {
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: ReportFormat,

    /// Print the JSON Schema of the JSON and stop
    #[arg(long, exclusive = true)]
    pub schema: bool,

    /// A table to print: `handbook`, `series`, `none`, or a file [default: both named tables]
    ///
    /// A file has a line `name: NAME`, and a line for each interval with the lowest note its lower
    /// note may be, such as `m3 C3`, or `-` for no limit. The intervals are m2 M2 m3 M3 P4 TT P5 m6
    /// M6 m7 M7 P8 m9 M9 m10 M10; `;` starts a comment.
    #[arg(long, value_name = "TABLE")]
    pub limits: Option<String>,
}

/// Arguments of `man`.
#[derive(Debug, Args)]
pub struct ManArguments {
    /// Write the pages into this folder, a file each
    #[arg(short, long, value_name = "FOLDER")]
    pub output: Option<PathBuf>,

    /// Replace read-only files as well
    #[arg(long, requires = "output")]
    pub force: bool,
}

/// Arguments of `completions`.
#[derive(Debug, Args)]
pub struct CompletionsArguments {
    /// The shell
    pub shell: clap_complete::Shell,
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_definition_is_sound() {
        super::command().debug_assert();
    }
}
