//! The arguments of `convert`, as they are typed.

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

/// Arguments of `convert`.
///
/// Formats are told by what is in a file, then by its name. What a chart has no place for is listed, once
/// a kind. Exit status 1 means that a file was read and has no chords.
#[derive(Debug, Args)]
pub struct ConvertArguments {
    /// Files, folders, or `-` for standard input
    #[arg(value_name = "FILE or FOLDER", required = true)]
    pub files: Vec<PathBuf>,

    /// Write to this file, or into this folder: a file a tune; `-` is standard output
    #[arg(short, long, value_name = "FILE or FOLDER")]
    pub output: Option<PathBuf>,

    /// Replace read-only files as well
    #[arg(long)]
    pub force: bool,

    /// Take the files to be in this format, whatever they look like
    #[arg(long, value_name = "FORMAT")]
    pub from: Option<InputFormat>,

    /// The part, or the MIDI track, that has the melody [default: the first with notes]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,

    /// Write to this file what could not be carried over: one JSON object a tune
    #[arg(long, value_name = "FILE")]
    pub report: Option<PathBuf>,
}
