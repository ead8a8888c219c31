//! What sort of line a line is, told by how it starts.

use nom::bytes::complete::{take_till, take_while};
use nom::character::complete::{char, one_of, satisfy};
use nom::combinator::{not, recognize};
use nom::sequence::{delimited, pair, preceded, terminated};
use nom::{IResult, Parser};

use super::text::Text;
use crate::chart::LineRow;
use crate::chord::Symbol;
use crate::pitch::Note;

/// A line by its sort.
#[derive(Debug)]
pub(super) enum LineKind<'a> {
    /// Nothing but space
    Blank,
    /// `[NAME]`, and whatever stands behind it
    Heading { name: Text<'a>, behind: Text<'a> },
    /// `[NAME` that is never closed
    OpenHeading,
    /// `name: value`
    Header { name: Text<'a>, value: Text<'a> },
    /// Bars: which row they are, and where its label stands
    Bars {
        row: LineRow,
        label: Text<'a>,
        bars: Text<'a>,
    },
    /// A row with a label nobody knows
    UnknownRow { label: Text<'a> },
}

/// Sorts a line that has no comment and no space around it.
pub(super) fn kind(line: Text<'_>) -> LineKind<'_> {
    if line.text.is_empty() {
        LineKind::Blank
    } else if line.text.starts_with('[') {
        heading(line)
    } else {
        header(line).unwrap_or_else(|| bars(line))
    }
}

fn heading(line: Text<'_>) -> LineKind<'_> {
    let name = take_till(|c| c == ']');
    let mut heading = delimited(char('['), name, char(']'));
    let read: IResult<&str, &str> = heading.parse(line.text);
    match read {
        Ok((rest, name)) => LineKind::Heading {
            name: Text::new(name, line.at + 1).trim(),
            behind: line.taken(rest).1.trim(),
        },
        Err(_) => LineKind::OpenHeading,
    }
}

/// `name:`, where the name is one word; a colon that belongs to a bar line or to a note is not one.
fn header(line: Text<'_>) -> Option<LineKind<'_>> {
    let (rest, name) = header_name(line.text).ok()?;
    let is_row = label(name).is_some();
    let is_note = Note::split(name).is_some_and(|(_, after)| after.is_empty());
    (!is_row && !is_note).then(|| LineKind::Header {
        name: Text::new(name, line.at),
        value: line.taken(rest).1.trim(),
    })
}

fn header_name(input: &str) -> IResult<&str, &str> {
    let letter = satisfy(|c| c.is_alphabetic());
    let others = take_while(|c: char| c.is_alphanumeric() || c == '-' || c == '_');
    let colon = terminated(
        preceded(take_while(char::is_whitespace), char(':')),
        not(one_of("|:")),
    );
    terminated(recognize(pair(letter, others)), colon).parse(input)
}

fn bars(line: Text<'_>) -> LineKind<'_> {
    let end = line.text.find(|c: char| c.is_whitespace() || c == '|');
    let (word, bars) = line.split_at(end.unwrap_or(line.text.len()));
    let name = word.text.trim_end_matches(':');
    if let Some(row) = label(name) {
        return LineKind::Bars {
            row,
            label: line.split_at(name.len()).0,
            bars: bars.trim(),
        };
    }
    if looks_like_a_label(name) {
        return LineKind::UnknownRow {
            label: line.split_at(name.len()).0,
        };
    }
    LineKind::Bars {
        row: LineRow::Chords,
        label: line.split_at(0).0,
        bars: line,
    }
}

fn label(word: &str) -> Option<LineRow> {
    let labelled = LineRow::ALL
        .into_iter()
        .filter(|row| *row != LineRow::Chords);
    let mut found = labelled.filter(|row| row.label().eq_ignore_ascii_case(word));
    found.next()
}

/// Chords start with a capital; the only words of small letters in a bar are those for no chord.
fn looks_like_a_label(word: &str) -> bool {
    word.starts_with(|c: char| c.is_lowercase()) && Symbol::read(word).is_err()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> String {
        match kind(Text::new(text, 0).trim()) {
            LineKind::Blank => "blank".to_owned(),
            LineKind::Heading { name, behind } => format!("[{}]{}", name.text, behind.text),
            LineKind::OpenHeading => "open".to_owned(),
            LineKind::Header { name, value } => format!("{}={}", name.text, value.text),
            LineKind::Bars { label, bars, .. } => format!("{}<{}>", label.text, bars.text),
            LineKind::UnknownRow { label } => format!("?{}", label.text),
        }
    }

    #[test]
    fn lines_are_told_apart_by_how_they_start() {
        for (line, sort) in [
            ("  ", "blank"),
            ("[A]", "[A]"),
            ("[ A intro ] | C |", "[A intro]| C |"),
            ("[A", "open"),
            ("title: A | B: C", "title=A | B: C"),
            ("Key :Eb", "Key=Eb"),
            ("title:", "title="),
            ("| C |", "<| C |>"),
            ("C | D", "<C | D>"),
            ("C:| D", "<C:| D>"),
            ("C :: D", "<C :: D>"),
            ("n.c. | D", "<n.c. | D>"),
            ("mel | C5:4 |", "mel<| C5:4 |>"),
            ("mel C5:3 Ab4", "mel<C5:3 Ab4>"),
            ("LH| ? |", "LH<| ? |>"),
            ("lh: | ? |", "lh<| ? |>"),
            ("bass | C2 |", "?bass"),
            ("C5:3 Ab4:1 | G4:4", "<C5:3 Ab4:1 | G4:4>"),
        ] {
            assert_eq!(of(line), sort, "{line}");
        }
    }
}
