//! The arguments, as they are typed. Nothing here acts: [`super::settings`] makes settings of them.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use super::reharm::ReharmArguments;

/// Turns a lead sheet into a left hand for the piano.
///
/// A chart goes in, a chart with a voiced left hand comes out: as smooth as it can be, never muddy,
/// within reach, out of the tune's way.
#[derive(Debug, Parser)]
#[command(name = "compline", version, max_term_width = 100, after_help = EXIT_STATUS)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

const EXIT_STATUS: &str = "Exit status: 0 done; 1 read, but no legal voicing or a chart that fails \
a check; 2 wrong usage, unreadable input, or output that could not be written.";

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Plan the left hand of charts and write them out
    Voice(VoiceArguments),
    /// List every voicing a chart's chords could have, and what each would cost the tune
    Options(SlotArguments),
    /// Hold voiced charts against the rules and say what is wrong, where, and what would mend it
    Check(Box<CheckArguments>),
    /// Say for each chord why the left hand plays these notes
    Why(WhyArguments),
    /// Explain how chord symbols are read
    Chord(ChordArguments),
    /// Print charts in their standard layout
    Tidy(TidyArguments),
    /// Print in which order the bars of charts are played
    Form(FormArguments),
    /// Print the key, numeral and function of every chord under the changes
    Harmony(HarmonyArguments),
    /// List or apply other chords that the tune accepts, or choose those that move the hand least
    Reharm(ReharmArguments),
    /// Print the tables and limits in force
    Limits(LimitsArguments),
    /// Print a completion script for a shell
    Completions(CompletionsArguments),
    /// Print the manual page
    Man,
}

const HAND: &str = "The hand";
const SOUND: &str = "The sound";
const GROUNDING: &str = "Say what each voicing would be taken for, and what to touch so that it is not

Without its root a chord can be another one: the notes of Dm9 without D are Fmaj7. `heard as` lists \
the chords on other roots that have these notes, most likely first; `touch` names the root and the \
guide tones (third and seventh) that the right hand, or the bass, would touch to make the chord clear. \
With voice, only the JSON has them.";
const WISHES: &str = "Wishes";
const SETTINGS: &str = "The settings file";

/// What the hand may do and how it should sound: shared by the commands that voice.
#[derive(Debug, Args)]
pub struct HandArguments {
    /// Lowest key the left hand may take [default: C3]
    #[arg(long, value_name = "NOTE", help_heading = HAND)]
    pub low: Option<String>,

    /// Highest key the left hand may take [default: A4]
    #[arg(long, value_name = "NOTE", help_heading = HAND)]
    pub high: Option<String>,

    /// Widest span of the hand, in semitones [default: 14, a ninth]
    ///
    /// A ninth is the usual limit for one hand. Wide stretches can hurt: stop if it hurts, and ask a
    /// teacher or a clinician. No number here is a safe limit.
    #[arg(long, value_name = "SEMITONES", help_heading = HAND)]
    pub reach: Option<String>,

    /// The left hand as measured, such as 200mm, 20cm or 7.9in, in place of --reach
    ///
    /// Measure from the tip of the thumb to the tip of the little finger of the left hand, opened only
    /// as far as is comfortable. Whether two keys are within reach then follows from where they lie on
    /// a full-size piano; chords that are not are thinned out, and a warning lists them. Wide stretches
    /// can hurt: stop if it hurts, and ask a teacher or a clinician. No number here is a safe limit.
    #[arg(long = "hand", value_name = "SPAN", conflicts_with = "reach", help_heading = HAND)]
    pub span: Option<String>,

    /// Table of low-interval limits: `handbook`, `series`, `none`, or a file [default: handbook]
    ///
    /// For each interval, the lowest note it may stand on before it turns muddy. `compline limits`
    /// prints the tables.
    #[arg(long, value_name = "TABLE", help_heading = HAND)]
    pub limits: Option<String>,

    /// Count in the bass note (the slash bass, else the root) in this octave for the limits
    ///
    /// A bass player sounds the root below a rootless voicing. With 2, it is taken to sound between
    /// C2 and B2.
    #[arg(long, value_name = "OCTAVE", allow_negative_numbers = true, help_heading = HAND)]
    pub count_bass: Option<i32>,

    /// Shapes to use, in order of preference; a chord takes the first that fits
    ///
    /// rootless, three-note, shell, guide-tones, block. A chord that has no legal voicing in the
    /// first shape is thinned out to the next, and the result says so.
    #[arg(long, value_name = "SHAPES", value_delimiter = ',', help_heading = SOUND)]
    pub palette: Vec<String>,

    /// How much to add to what the symbols say [default: natural]
    #[arg(long, value_name = "COLOUR", help_heading = SOUND)]
    pub colour: Option<ColourName>,

    /// Leave the tune out of account, where a chart has one
    #[arg(long, help_heading = SOUND)]
    pub ignore_melody: bool,

    /// Plan for playing round and round: the step from the last chord back to the first counts
    #[arg(long = "loop", help_heading = SOUND)]
    pub looped: bool,

    /// Let no note move further than this from voicing to voicing, unless a wish says otherwise
    #[arg(long, value_name = "SEMITONES", value_parser = clap::value_parser!(u8).range(..=127), help_heading = WISHES)]
    pub leap: Option<u8>,

    /// What the top note does from voicing to voicing, unless a wish says otherwise
    #[arg(long, value_name = "HOW", help_heading = WISHES)]
    pub top: Option<TopName>,

    /// Take the songbook's settings from this file, not from the nearest compline.toml above each chart
    ///
    /// The keys of a settings file are named as these options, without the dashes; an option typed
    /// here comes before the file.
    #[arg(long, value_name = "FILE", help_heading = SETTINGS, conflicts_with = "no_settings")]
    pub settings: Option<PathBuf>,

    /// Look for no settings file
    #[arg(long, help_heading = SETTINGS)]
    pub no_settings: bool,
}

/// What is done to a chart before it is planned: shared by the commands that plan.
#[derive(Debug, Args)]
pub struct TuneArguments {
    /// Transpose to this key first, such as Eb or F#m
    #[arg(long, value_name = "KEY", help_heading = SOUND)]
    pub key: Option<String>,

    /// Ask for something in a written bar, or for one chord of it: `3:A`, `3.2:without=G3,leap=5`
    ///
    /// A or B: the form. with=G3.D4: these notes are in the voicing. without=G3: these are not.
    /// not=G3.Bb3.D4.F4: any voicing but this. top=held, top=step: the top note stays, or moves by
    /// a whole step at most. leap=5: no note moves further than 5 semitones into the voicing. Both
    /// come before --top and --leap; top=free lifts --top. Wishes
    /// are joined by commas; in a chart they stand behind a `?` of the `lh` line. Notes alone
    /// (3:G3.Bb3.D4.F4) give the voicing, `-` silence; `?` takes back what the chart asks for there.
    /// C4 is middle C. May be repeated.
    #[arg(long, value_name = "BAR[.CHORD]:WISHES", help_heading = WISHES)]
    pub wish: Vec<String>,
}

/// What the top note does, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TopName {
    /// It stays where it is
    Held,
    /// It moves by a whole step at most
    Step,
}

/// The colours, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ColourName {
    /// Only what the symbol says
    Written,
    /// The tensions that fit where the chord goes
    Natural,
    /// As natural, but dominants that resolve are altered
    Altered,
}

/// What `voice` writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum VoiceFormat {
    /// A chart with the left hand under the symbols
    Text,
    /// One JSON object a chart
    Json,
    /// Pitches against time, to be printed
    Grid,
}

/// Text for people, or JSON.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ReportFormat {
    /// For people
    Text,
    /// For programs
    Json,
}

/// Arguments of `voice`.
#[derive(Debug, Args)]
pub struct VoiceArguments {
    /// Charts, folders of charts, or `-` for standard input
    #[arg(value_name = "CHART", required_unless_present = "schema")]
    pub charts: Vec<PathBuf>,

    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: VoiceFormat,

    /// Write to this file, or into this folder; `-` is standard output
    #[arg(short, long, value_name = "FILE or FOLDER")]
    pub output: Option<PathBuf>,

    /// Write every pass of a repeat out, each free to differ, and say what the page would cost
    #[arg(long)]
    pub as_played: bool,

    /// List the N best different plans, exactly ranked, the plan itself being the first
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true)]
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

    /// Print the JSON Schema of the JSON and stop
    #[arg(long, exclusive = true)]
    pub schema: bool,

    /// Widest line of the grid, in columns
    #[arg(long, value_name = "COLUMNS", default_value_t = 96)]
    pub width: usize,

    /// Draw the grid with ASCII characters only
    #[arg(long)]
    pub ascii: bool,

    #[command(flatten)]
    pub hand: HandArguments,

    #[command(flatten)]
    pub tune: TuneArguments,
}

/// Arguments of `options`, and shared by `why`: both go through a chart slot by slot.
#[derive(Debug, Args)]
pub struct SlotArguments {
    /// The chart, or `-` for standard input
    #[arg(value_name = "CHART")]
    pub chart: PathBuf,

    /// Only this written bar, counted from 1
    #[arg(long, value_name = "N")]
    pub bar: Option<usize>,

    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: ReportFormat,

    #[command(flatten)]
    pub hand: HandArguments,

    #[command(flatten)]
    pub tune: TuneArguments,
}

/// What `check` writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CheckFormat {
    /// The line each finding is in, underlined, with what would mend it
    Text,
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

    /// With --mend, write to this file, or into this folder; `-` is standard output
    #[arg(short, long, value_name = "FILE or FOLDER", requires = "mend")]
    pub output: Option<PathBuf>,

    /// Write all findings down in this file, as known
    #[arg(long, value_name = "FILE", conflicts_with_all = ["to", "roughest"])]
    pub record: Option<PathBuf>,

    /// Only findings that are not in this file fail
    #[arg(long, value_name = "FILE")]
    pub known: Option<PathBuf>,

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
    #[arg(value_name = "SYMBOL", required = true)]
    pub symbols: Vec<String>,

    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: ReportFormat,
}

/// Arguments of `tidy`.
#[derive(Debug, Args)]
pub struct TidyArguments {
    /// Charts, folders of charts, or `-` for standard input
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

    /// Transpose to this key, such as Eb or F#m
    #[arg(long, value_name = "KEY", conflicts_with = "check")]
    pub key: Option<String>,
}

/// Arguments of `form`.
#[derive(Debug, Args)]
pub struct FormArguments {
    /// Charts, folders of charts, or `-` for standard input
    #[arg(value_name = "CHART", required = true)]
    pub charts: Vec<PathBuf>,

    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: ReportFormat,
}

/// Arguments of `harmony`.
#[derive(Debug, Args)]
pub struct HarmonyArguments {
    /// Charts, folders of charts, or `-` for standard input
    #[arg(value_name = "CHART", required = true)]
    pub charts: Vec<PathBuf>,

    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: ReportFormat,

    /// The last chord goes on to the first
    #[arg(long = "loop")]
    pub looped: bool,
}

/// Arguments of `limits`.
#[derive(Debug, Args)]
pub struct LimitsArguments {
    /// What to write
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub to: ReportFormat,

    /// A table to print: `handbook`, `series`, `none`, or a file [default: both named tables]
    ///
    /// A file has a line `name: NAME`, and a line for each interval with the lowest note its lower
    /// note may be, such as `m3 C3`, or `-` for no limit. The intervals are m2 M2 m3 M3 P4 TT P5 m6
    /// M6 m7 M7 P8 m9 M9 m10 M10; `;` starts a comment.
    #[arg(long, value_name = "TABLE")]
    pub limits: Option<String>,
}

/// Arguments of `completions`.
#[derive(Debug, Args)]
pub struct CompletionsArguments {
    /// The shell
    pub shell: clap_complete::Shell,
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_definition_is_sound() {
        super::Arguments::command().debug_assert();
    }
}
