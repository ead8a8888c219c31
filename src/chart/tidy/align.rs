//! Chord by chord inside a bar: what belongs to a chord stands under it.

use unicode_width::UnicodeWidthStr;

use super::columns::{Strip, padded};

/// The words of a bar in one row, before they are joined.
#[derive(Debug, Default, Clone)]
pub(super) struct Words {
    /// What stands before the first chord: a meter, a sign to arrive at.
    pub before: String,
    /// One for each chord, where the row goes by chords.
    pub each: Vec<String>,
    /// What stands behind the last chord: an instruction.
    pub behind: String,
}

impl Words {
    /// Words that go by chords.
    pub fn of(text: &str) -> Self {
        Self {
            each: text.split_whitespace().map(str::to_owned).collect(),
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

/// Pads the words of a line's rows so that the rows with the same number of them in a bar stand in
/// columns. Rows with another number (one `?` for all chords, a `%`) stay as they are.
pub(super) fn align(strips: &mut [Strip]) {
    let bars = strips
        .iter()
        .map(|strip| strip.bars.len())
        .max()
        .unwrap_or(0);
    for bar in 0..bars {
        let mut words: Vec<&mut Words> = strips
            .iter_mut()
            .filter_map(|strip| Some(&mut strip.bars.get_mut(bar)?.words))
            .filter(|words| !words.each.is_empty())
            .collect();
        words.sort_by_key(|words| words.each.len());
        for rows in words.chunk_by_mut(|a, b| a.each.len() == b.each.len()) {
            align_rows(rows);
        }
    }
}

fn align_rows(rows: &mut [&mut Words]) {
    let before = rows.iter().map(|row| row.before.width()).max().unwrap_or(0);
    let count = rows.first().map_or(0, |row| row.each.len());
    for row in rows.iter_mut() {
        pad(&mut row.before, before);
    }
    for at in 0..count {
        let widths = rows.iter().filter_map(|row| row.each.get(at));
        let width = widths.map(|word| word.width()).max().unwrap_or(0);
        for row in rows.iter_mut() {
            let last = at + 1 == count;
            if let Some(word) = row.each.get_mut(at).filter(|_| !last) {
                pad(word, width);
            }
        }
    }
}

fn pad(word: &mut String, width: usize) {
    let text = std::mem::take(word);
    padded(&text, width, word);
}
