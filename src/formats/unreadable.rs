//! Why a file of another format can't be read.

use std::fmt;

/// Why nothing could be made of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnreadableFile {
    /// What is wrong, one sentence without a full stop.
    pub why: String,
    /// What to do about it, where that is not plain.
    pub help: Option<&'static str>,
    /// Whether the file is sound and only has nothing to make a chart of.
    pub sound: bool,
}

impl UnreadableFile {
    /// A file that is damaged or of another kind.
    pub fn new(why: impl Into<String>) -> Self {
        Self {
            why: why.into(),
            help: None,
            sound: false,
        }
    }

    /// A sound file without a single chord symbol.
    pub fn no_chords(what: &str) -> Self {
        Self {
            why: format!("{what} has no chord symbols"),
            help: Some(
                "without chords there is nothing to voice: write the symbols above the melody",
            ),
            sound: true,
        }
    }

    /// The same with a line of advice.
    #[must_use]
    pub fn help(self, help: &'static str) -> Self {
        Self {
            help: Some(help),
            ..self
        }
    }
}

impl fmt::Display for UnreadableFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.why)
    }
}

impl std::error::Error for UnreadableFile {}
