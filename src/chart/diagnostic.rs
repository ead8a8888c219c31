//! Mistakes and remarks about a chart, as data: what is wrong, where, what was expected instead.
//!
//! Where it stops: lines, columns, colours and carets belong to whoever shows a problem.

use std::fmt;
use std::ops::Range;

/// How serious a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// The chart cannot be used as it stands.
    Error,
    /// The chart was read; this is how something in it was taken.
    Warning,
}

/// One thing wrong with the text of a chart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// How serious it is.
    pub level: Level,
    /// What is wrong, one sentence in a musician's words, without a full stop.
    pub message: String,
    /// The bytes of the source it is about; both ends lie between characters.
    pub span: Range<usize>,
    /// What was expected there: a few words to stand under the marked text.
    pub label: String,
    /// What to do about it, where that is not plain.
    pub help: Option<String>,
}

impl Diagnostic {
    /// An error.
    pub fn error(span: Range<usize>, message: impl Into<String>, label: impl Into<String>) -> Self {
        Self {
            level: Level::Error,
            message: message.into(),
            span,
            label: label.into(),
            help: None,
        }
    }

    /// A warning.
    pub fn warning(
        span: Range<usize>,
        message: impl Into<String>,
        label: impl Into<String>,
    ) -> Self {
        Self {
            level: Level::Warning,
            ..Self::error(span, message, label)
        }
    }

    /// The same problem with a line of advice.
    #[must_use]
    pub fn help(self, advice: impl Into<String>) -> Self {
        Self {
            help: Some(advice.into()),
            ..self
        }
    }
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Diagnostic {}
