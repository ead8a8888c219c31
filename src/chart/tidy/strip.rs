//! A row as text, before it is put into columns.

use unicode_width::UnicodeWidthStr;

use crate::chart::{LineRow, Stroke};

/// A row of a line, ready to print.
#[derive(Debug)]
pub(super) struct Strip {
    pub row: LineRow,
    pub bars: Vec<Printed>,
}

/// A bar as text.
#[derive(Debug, Default)]
pub(super) struct Printed {
    /// What stands between the bar lines.
    pub words: BarWords,
    /// Right of the left stroke.
    pub opens: String,
    /// Left of the right stroke.
    pub colon: bool,
    /// Right of the right stroke, where the line is not followed by what the next bar opens.
    pub closes: String,
    /// Whether that ends in a count, to which no opening can be glued.
    pub counted: bool,
    /// How the right bar line is drawn.
    pub stroke: Stroke,
}

/// The words of a bar in one row, before they are joined.
#[derive(Debug, Default, Clone)]
pub(super) struct BarWords {
    /// What stands before the first chord: a meter, a sign to arrive at.
    pub before: String,
    /// One for each chord, where the row goes by chords.
    pub each: Vec<String>,
    /// What stands behind the last chord: an instruction.
    pub behind: String,
}

impl BarWords {
    /// Words that go by chords.
    pub fn of(each: Vec<String>) -> Self {
        Self {
            each,
            ..Self::default()
        }
    }

    /// Text that doesn't go by chords.
    pub fn one(text: String) -> Self {
        Self {
            behind: text,
            ..Self::default()
        }
    }

    /// The words, joined.
    pub fn text(&self) -> String {
        let before = std::iter::once(self.before.as_str());
        let each = self.each.iter().map(String::as_str);
        let words = before
            .chain(each)
            .chain(std::iter::once(self.behind.as_str()));
        words
            .filter(|word| !word.is_empty())
            .collect::<Vec<_>>()
            .join(" ")
    }
}

/// Adds a text and the spaces that make it so wide.
pub(super) fn padded(text: &str, width: usize, to: &mut String) {
    to.push_str(text);
    let missing = width.saturating_sub(text.width());
    to.extend(std::iter::repeat_n(' ', missing));
}
