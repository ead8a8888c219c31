//! Pieces of the source that know where they stand, and the source's lines.

use std::ops::Range;

use nom::Parser;
use nom::bytes::complete::take_till1;

use crate::chart::Span;

/// How many characters of a faulty word a message quotes.
const LONGEST_QUOTE: usize = 40;

/// A piece of the source and the byte it starts at.
#[derive(Debug, Clone, Copy)]
pub(super) struct Text<'a> {
    pub text: &'a str,
    pub at: usize,
}

impl<'a> Text<'a> {
    pub fn new(text: &'a str, at: usize) -> Self {
        Self { text, at }
    }

    pub fn range(self) -> Range<usize> {
        self.at..self.at + self.text.len()
    }

    pub fn span(self) -> Span {
        Span::new(self.range())
    }

    /// The text as a message quotes it: what is too long to be a slip of the pen is cut.
    pub fn shown(self) -> String {
        match self.text.char_indices().nth(LONGEST_QUOTE) {
            Some((end, _)) => format!("{}…", self.text.get(..end).unwrap_or_default()),
            None => self.text.to_owned(),
        }
    }

    pub fn is_blank(self) -> bool {
        self.text.trim().is_empty()
    }

    /// Without the white space at both ends; blank text becomes the empty text at its end.
    pub fn trim(self) -> Self {
        let start = self.text.trim_start();
        Self::new(start.trim_end(), self.at + self.text.len() - start.len())
    }

    /// Without the white space around it; blank text stays as it is, so that it can be pointed at.
    pub fn trim_unless_blank(self) -> Self {
        if self.is_blank() { self } else { self.trim() }
    }

    /// Cuts at a byte, which must be a character's first; beyond the end nothing is left over.
    pub fn split_at(self, byte: usize) -> (Self, Self) {
        let (left, right) = self.text.split_at_checked(byte).unwrap_or((self.text, ""));
        (
            Self::new(left, self.at),
            Self::new(right, self.at + left.len()),
        )
    }

    /// What nom left over of this text, and what it took.
    pub fn taken(self, rest: &'a str) -> (Self, Self) {
        self.split_at(self.text.len() - rest.len())
    }

    /// The words between white space.
    pub fn words(self) -> impl Iterator<Item = Self> {
        let mut rest = self.trim();
        std::iter::from_fn(move || {
            let (word, after) = rest.first_word()?;
            rest = after;
            Some(word)
        })
    }

    /// The first word, and what follows it and the space after it.
    pub fn first_word(self) -> Option<(Self, Self)> {
        let mut word = take_till1::<_, _, nom::error::Error<&str>>(char::is_whitespace);
        let (rest, _) = word.parse(self.text).ok()?;
        let (word, after) = self.taken(rest);
        let start = after.text.trim_start();
        let (_, after) = after.taken(start);
        Some((word, after))
    }

    /// The pieces between separators, blank ones included.
    pub fn split(self, separator: char) -> impl Iterator<Item = Self> {
        let mut at = self.at;
        self.text.split(separator).map(move |piece| {
            let piece = Self::new(piece, at);
            at = piece.range().end + separator.len_utf8();
            piece
        })
    }
}

/// The lines of a text, whatever ends them. (`\r\n` yields an empty line, which means nothing.)
pub(super) fn lines(source: Text<'_>) -> impl Iterator<Item = Text<'_>> {
    let mut at = source.at;
    source.text.split(['\n', '\r']).map(move |line| {
        let line = Text::new(line, at);
        at = line.range().end + 1;
        line
    })
}

/// Cuts a comment off: the line before it, and what follows its `;`.
pub(super) fn comment(line: Text<'_>) -> (Text<'_>, Option<String>) {
    match line.text.split_once(';') {
        Some((before, after)) => (
            Text::new(before, line.at).trim(),
            Some(after.trim_end().to_owned()),
        ),
        None => (line.trim(), None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_know_their_places() {
        let words: Vec<_> = Text::new("  Cm7\u{a0} F♯7 ", 10)
            .words()
            .map(|w| (w.text, w.at))
            .collect();
        assert_eq!(words, [("Cm7", 12), ("F♯7", 18)]);
    }

    #[test]
    fn every_line_ending_is_one() {
        let lines: Vec<_> = lines(Text::new("a\nb\r\nc\rd", 3))
            .map(|l| (l.text, l.at))
            .collect();
        assert_eq!(lines, [("a", 3), ("b", 5), ("", 7), ("c", 8), ("d", 10)]);
    }

    #[test]
    fn a_comment_keeps_its_text_as_typed() {
        let (line, text) = comment(Text::new(" | C |  ;  slow; slower ", 0));
        assert_eq!((line.text, line.at), ("| C |", 1));
        assert_eq!(text.unwrap(), "  slow; slower");
    }
}
