//! What the hand may do and how it should sound, as it is typed: shared by the commands that voice.

use std::path::PathBuf;

use anyhow::Result;
use clap::{Args, ValueEnum};
use compline::pitch::Spelling;

use super::setting_options::{Playing, SettingOptions};
use crate::cli::settings::{AskedSettings, SURCHARGES};

const SOUND: &str = "The sound";
const WISHES: &str = "Wishes";
const SETTINGS: &str = "The settings file";

/// What the hand may do and how it should sound: shared by the commands that voice.
#[derive(Debug, Args)]
pub struct HandArguments {
    #[command(flatten)]
    pub options: SettingOptions<Playing>,

    /// What a voicing costs besides motion: `plain=6`; may be repeated
    ///
    /// A surcharge is a number of semitones one would rather move than accept the voicing. register: times
    /// the square of the semitones its lowest note lies below the floor, or more than 8 above it [4]. floor:
    /// where that ends, a note [Eb3]. plain: for each usual tension that a plainer filling leaves out, and
    /// half for the 5 where a dominant's 13 is usual, for an inversion that is neither form, or for a key
    /// left to the melody; twice for a #9 below the third [6]. melody: for each hand note that rubs a melody note
    /// which goes by, lies on or above it, or is the top note a whole step below a held one; ten times for
    /// a key that the melody holds [2]. With register, plain and melody at 0 the plan is the least motion and
    /// nothing else.
    #[arg(long, value_name = "NAME=N", value_delimiter = ',', help_heading = SOUND, hide_short_help = true)]
    pub surcharge: Vec<String>,

    /// Take the songbook's settings from this file, not from the nearest compline.toml above each chart
    ///
    /// The keys of a settings file are named as these options, without the dashes; an option typed
    /// here comes before the file.
    #[arg(long, value_name = "FILE", help_heading = SETTINGS, hide_short_help = true, conflicts_with = "no_settings")]
    pub settings: Option<PathBuf>,

    /// Look for no settings file
    #[arg(long, help_heading = SETTINGS, hide_short_help = true)]
    pub no_settings: bool,
}

impl HandArguments {
    /// What they say about the settings.
    ///
    /// # Errors
    ///
    /// A value that isn't one, naming the option it was given to.
    pub fn asked(&self) -> Result<AskedSettings> {
        Ok(AskedSettings {
            layer: SURCHARGES
                .typed(&self.surcharge)?
                .over(&self.options.layer()?),
            file: self.settings.clone(),
            no_file: self.no_settings,
        })
    }
}

/// What is done to a chart before it is planned: shared by the commands that plan.
#[derive(Debug, Args)]
pub struct TuneArguments {
    /// Transpose to this key first, such as Eb or F#m; `voice` takes several, as in Eb,F, or `all`
    #[arg(long, value_name = "KEY", help_heading = SOUND, hide_short_help = true)]
    pub key: Option<String>,

    /// Ask for something in bars, or one chord of a bar: `3:A`, `3,5-6:A`, `3.2:without=G3,leap=5`
    ///
    /// A or B: the form. with=G3.D4: these notes are in the voicing. without=G3: these are not.
    /// with=13 and without=9 say the same by degree, in any octave. top=E4: this note at the top.
    /// not=G3.Bb3.D4.F4: any voicing but this. top=held, top=step: the top note stays, or moves by a
    /// whole step at most. leap=5: no note moves further than 5 semitones into the voicing. Both come
    /// before --top and --leap; top=free lifts --top. Wishes are joined by commas; in a chart they
    /// stand behind a `?` of the `lh` line. Notes alone (3:G3.Bb3.D4.F4) give the voicing, `-`
    /// silence; `?` takes back what the chart asks for there. C4 is middle C. May be repeated.
    #[arg(long, value_name = "PLACE:WISHES", help_heading = WISHES, hide_short_help = true)]
    pub wish: Vec<String>,
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
