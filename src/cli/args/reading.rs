//! How files are read, as it is typed: the same for every command that takes charts.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

/// The formats that are read, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum InputFormat {
    /// MusicXML, plain or compressed
    Musicxml,
    /// Standard MIDI File with chord symbols as text
    Midi,
    /// ABC tune or tune book
    Abc,
    /// A chart
    Chart,
}

/// How files are read.
#[derive(Debug, Args, Default)]
pub struct ReadingArguments {
    /// Take the files to be in this format [default: told by what is in them, then by their names]
    #[arg(long, value_name = "FORMAT")]
    pub from: Option<InputFormat>,

    /// The part of a score, or the track of a MIDI file, that has the melody [default: the first with notes]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,

    /// Take standard input (`-`) for the text of this file
    ///
    /// The settings for that file's folder hold, messages and findings name it so, and known findings are
    /// those of that file. It is neither read nor written, and need not be there: so what is staged or not
    /// yet saved can be worked on.
    #[arg(long, value_name = "FILE")]
    pub stdin_as: Option<PathBuf>,
}
