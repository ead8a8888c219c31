//! What is said about a symbol that can't be read.

use std::fmt;
use std::ops::Range;

/// A chord symbol, or a part of one, that was not understood.
///
/// ```
/// # use compline::chord::Chord;
/// let unread = Chord::read("Cmaj7x").unwrap_err();
/// assert_eq!(unread.span, 5..6);
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Unread {
    /// The bytes of the symbol that were not understood; empty at its end where something is missing.
    pub span: Range<usize>,
    /// What could have stood there, or why what stands there can't: a phrase without a full stop.
    pub expected: String,
    /// What to write instead, where there is something better to say than `expected`.
    pub help: Option<String>,
}

impl Unread {
    pub(super) fn new(span: Range<usize>, expected: &str, help: Option<&str>) -> Self {
        Self {
            span,
            expected: expected.to_owned(),
            help: help.map(str::to_owned),
        }
    }
}

impl fmt::Display for Unread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.expected)?;
        match &self.help {
            Some(help) => write!(f, "; {help}"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for Unread {}
