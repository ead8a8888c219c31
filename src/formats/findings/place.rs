//! From bytes to lines and columns.

use std::ops::Range;

/// A stretch of text as people and other programs count it: lines and columns from 1, columns in
/// characters (Unicode code points), the end after the last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Region {
    /// The line it starts in.
    pub line: usize,
    /// The column it starts at; `None` for whole lines.
    pub column: Option<usize>,
    /// The line it ends in.
    pub end_line: usize,
    /// The column after its last.
    pub end_column: Option<usize>,
}

impl Region {
    /// A whole line.
    pub fn line(line: usize) -> Self {
        Self {
            line,
            column: None,
            end_line: line,
            end_column: None,
        }
    }
}

/// The lines of a text. A line ends with `\n`, `\r\n` or `\r`, as in charts.
#[derive(Debug)]
pub struct Lines<'a> {
    text: &'a str,
    starts: Vec<usize>,
}

impl<'a> Lines<'a> {
    /// The lines of this text. A byte order mark is not part of the first.
    pub fn of(text: &'a str) -> Self {
        let bytes = text.as_bytes();
        let first = if text.starts_with('\u{feff}') { 3 } else { 0 };
        let ends = bytes.iter().enumerate().filter(|(at, byte)| match byte {
            b'\n' => true,
            b'\r' => bytes.get(at + 1) != Some(&b'\n'),
            _ => false,
        });
        let starts = std::iter::once(first).chain(ends.map(|(at, _)| at + 1));
        Self {
            starts: starts.collect(),
            text,
        }
    }

    /// Where these bytes are.
    ///
    /// ```
    /// use compline::formats::Lines;
    /// let region = Lines::of("| B♭7 |\n| Xm |").region(12..14);
    /// assert_eq!((region.line, region.column, region.end_column), (2, Some(3), Some(5)));
    /// ```
    pub fn region(&self, span: Range<usize>) -> Region {
        let (line, column) = self.place(span.start);
        let (end_line, end_column) = self.place(span.end.max(span.start));
        Region {
            line,
            column: Some(column),
            end_line,
            end_column: Some(end_column),
        }
    }

    fn place(&self, at: usize) -> (usize, usize) {
        let line = self.starts.partition_point(|start| *start <= at).max(1);
        let start = self.starts.get(line - 1).copied().unwrap_or_default();
        let before = self.text.get(start..at.max(start)).unwrap_or_default();
        (line, before.chars().count() + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_ending_counts_once() {
        let lines = Lines::of("\u{feff}a\r\nb\rc\nd");
        let place = |at| lines.place(at);
        assert_eq!(place(3), (1, 1));
        assert_eq!(place(6), (2, 1));
        assert_eq!(place(8), (3, 1));
        assert_eq!(place(10), (4, 1));
        assert_eq!(place(11), (4, 2));
    }
}
