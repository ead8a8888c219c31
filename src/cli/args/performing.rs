//! How an arrangement sounds beyond its notes, as it is typed.

use std::num::NonZeroUsize;

use clap::{Args, ValueEnum};

const SOUNDS: &str = "Where it sounds (--to midi, --to wav)";

/// What is added to the notes where they sound.
#[derive(Debug, Args)]
pub struct PerformingArguments {
    /// What a bass plays
    #[arg(long, value_name = "BASS", default_value = "none", help_heading = SOUNDS)]
    pub bass: BassName,

    /// Play the eighths of a quarter note long and short, 2:1 unless another ratio is given
    #[arg(long, value_name = "LONG:SHORT", num_args = 0..=1, require_equals = true,
          default_missing_value = "2:1", help_heading = SOUNDS)]
    pub swing: Option<String>,

    /// When the left hand strikes its chords; its notes stay the same
    ///
    /// held: each chord is struck once and held. charleston: on one and on the `and` of two.
    /// four-to-the-bar: on every beat. two-and-four: on every second beat. off-beats: on the `and` of
    /// every beat.
    #[arg(long, value_name = "RHYTHM", default_value = "held", help_heading = SOUNDS)]
    pub rhythm: String,

    /// Only the Nth time through the tune: from where its first bar is played to where it comes again
    #[arg(long, value_name = "N", conflicts_with = "as_played", help_heading = SOUNDS)]
    pub pass: Option<NonZeroUsize>,

    /// Begin a WAV file with a bar of quiet clicks
    #[arg(long, help_heading = SOUNDS)]
    pub count_in: bool,
}

/// What the bass plays, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum BassName {
    /// Nothing
    None,
    /// The bass note, else the root, under every chord
    Roots,
}
