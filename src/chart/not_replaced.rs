//! Why other chords can't be put into a page.

use std::fmt;

/// Why chords can't be put in place of others.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NotReplaced {
    /// There are no such slots.
    NoSlots,
    /// Two replacements want the same slot: it is in this bar.
    Overlap {
        /// The written bar, counted from 1.
        bar: usize,
    },
    /// The chords of a bar would leave a gap, overlap, or cross a bar line.
    DoesNotFill {
        /// The written bar, counted from 1.
        bar: usize,
    },
    /// The chords fill the bar, but in lengths that chords and slashes can't write.
    NotWritable {
        /// The written bar, counted from 1.
        bar: usize,
    },
}

impl fmt::Display for NotReplaced {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSlots => f.write_str("the chart has no such chords"),
            Self::Overlap { bar } => write!(f, "two replacements want the same chord of bar {bar}"),
            Self::DoesNotFill { bar } => write!(f, "the new chords do not fill bar {bar}"),
            Self::NotWritable { bar } => {
                write!(
                    f,
                    "chords and slashes can't write the new chords of bar {bar}"
                )
            }
        }
    }
}

impl std::error::Error for NotReplaced {}
