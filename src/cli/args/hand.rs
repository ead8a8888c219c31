//! What the hand may do and how it should sound, as it is typed: shared by the commands that voice.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use compline::pitch::Spelling;
use compline::voicing::{Palette, SHAPES};

const HAND: &str = "The hand";
const SOUND: &str = "The sound";
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

    /// Table of low-interval limits: `handbook`, `series`, `scores`, `none`, or a file [default: handbook]
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
    #[arg(long, value_name = "SHAPES", value_delimiter = ',', help_heading = SOUND, long_help = shapes_help())]
    pub palette: Vec<String>,

    /// How much to add to what the symbols say [default: natural]
    #[arg(long, value_name = "COLOUR", help_heading = SOUND)]
    pub colour: Option<ColourName>,

    /// What a voicing costs besides motion: `plain=6`; may be repeated
    ///
    /// A surcharge is a number of semitones one would rather move than accept the voicing. register: times
    /// the square of the semitones its lowest note lies below the floor, or more than 8 above it [4]. floor:
    /// where that ends, a note [Eb3]. plain: for each usual tension that a plainer filling leaves out, and
    /// half for the 5 where a dominant's 13 is usual [6]. melody: for each hand note that rubs a melody note
    /// which goes by, lies on or above it, or is the top note a whole step below a held one; eight times for
    /// a key that the melody holds [2]. With register, plain and melody at 0 the plan is the least motion and
    /// nothing else.
    #[arg(long, value_name = "NAME=N", value_delimiter = ',', help_heading = SOUND)]
    pub surcharge: Vec<String>,

    /// How to name notes [default: as the chart says, else practical]
    ///
    /// Practical: by theory, but a double sharp or flat, and an E#, B#, Cb or Fb that the key doesn't
    /// have, gives way to its everyday name: the #9 of B7 is D. Strict: by theory, C##.
    #[arg(long, value_name = "HOW", help_heading = SOUND)]
    pub spelling: Option<SpellingName>,

    /// Leave the melody out of account, where a chart has one
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

/// The shapes, each with what it is.
fn shapes_help() -> String {
    let each = SHAPES.map(|shape| format!("\n  {}: {}", shape.name, shape.about));
    format!(
        "Shapes to use, in order of preference; a chord takes the first that fits [default: {}]\n\n\
         A chord that has no legal voicing in the first shape is thinned out to the next, and the result \
         says so.\n{}",
        Palette::default(),
        each.concat()
    )
}

/// What is done to a chart before it is planned: shared by the commands that plan.
#[derive(Debug, Args)]
pub struct TuneArguments {
    /// Transpose to this key first, such as Eb or F#m; `voice` takes several, as in Eb,F, or `all`
    #[arg(long, value_name = "KEY", help_heading = SOUND)]
    pub key: Option<String>,

    /// Ask for something in a bar, bars, or one chord of a bar: `3:A`, `3-6:A`, `3.2:without=G3,leap=5`
    ///
    /// A or B: the form. with=G3.D4: these notes are in the voicing. without=G3: these are not.
    /// with=13 and without=9 say the same by degree, in any octave. top=E4: this note at the top.
    /// not=G3.Bb3.D4.F4: any voicing but this. top=held, top=step: the top note stays, or moves by a
    /// whole step at most. leap=5: no note moves further than 5 semitones into the voicing. Both come
    /// before --top and --leap; top=free lifts --top. Wishes are joined by commas; in a chart they
    /// stand behind a `?` of the `lh` line. Notes alone (3:G3.Bb3.D4.F4) give the voicing, `-`
    /// silence; `?` takes back what the chart asks for there. C4 is middle C. May be repeated.
    #[arg(long, value_name = "PLACE:WISHES", help_heading = WISHES)]
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

/// How notes are named, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SpellingName {
    /// By theory, but everyday names for white keys
    Practical,
    /// By theory
    Strict,
}

impl From<SpellingName> for Spelling {
    fn from(name: SpellingName) -> Self {
        match name {
            SpellingName::Practical => Self::Practical,
            SpellingName::Strict => Self::Strict,
        }
    }
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
