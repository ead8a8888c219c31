//! The arguments of `convert`, as they are typed.

use std::path::PathBuf;

use clap::Args;

use super::ReadingArguments;

/// Arguments of `convert`.
///
/// Formats are told by what is in a file, then by its name. What a chart has no place for is listed, once
/// a kind. Exit status 1 means that a file was read and has no chords.
#[derive(Debug, Args)]
pub struct ConvertArguments {
    /// Files, folders, or `-` for standard input
    #[arg(value_name = "FILE or FOLDER", required_unless_present = "schema")]
    pub files: Vec<PathBuf>,

    /// Write to this file, or into this folder: a file a tune; `-` is standard output
    #[arg(short, long, value_name = "FILE or FOLDER")]
    pub output: Option<PathBuf>,

    /// Replace read-only files as well
    #[arg(long)]
    pub force: bool,

    /// Write to this file what could not be carried over: one JSON object a tune
    #[arg(long, value_name = "FILE")]
    pub report: Option<PathBuf>,

    /// Print the JSON Schema of a report's lines and stop
    #[arg(long, exclusive = true)]
    pub schema: bool,

    #[command(flatten)]
    pub reading: ReadingArguments,
}
