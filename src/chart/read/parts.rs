//! A line of music in its parts: bar lines and what stands between them.

use super::barline::{self, BarLine};
use super::text::Text;

/// A bar line, or the contents of a bar.
#[derive(Debug)]
pub(super) enum RowPart<'a> {
    Line(BarLine<'a>),
    Body(Text<'a>),
}

/// The parts of a line, from left to right.
///
/// A missing first or last bar line is not made up, and the nothing before a first or after a last
/// bar line is no bar; blank text between two bar lines is one, and an empty one.
pub(super) fn parts(line: Text<'_>) -> impl Iterator<Item = RowPart<'_>> {
    let mut rest = line;
    let mut after_line = false;
    std::iter::from_fn(move || {
        if !after_line && let Some((line, after)) = barline::split(rest) {
            (rest, after_line) = (after, true);
            return Some(RowPart::Line(line));
        }
        let end = barline::find(rest.text);
        let (body, after) = rest.split_at(end.unwrap_or(rest.text.len()));
        rest = after;
        let counts = !body.is_blank() || (after_line && end.is_some());
        after_line = false;
        counts.then_some(RowPart::Body(body))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shape(text: &str) -> String {
        let show = |part| match part {
            RowPart::Line(line) => line.text.text.to_owned(),
            RowPart::Body(body) => format!("<{}>", body.trim().text),
        };
        parts(Text::new(text, 0).trim()).map(show).collect()
    }

    #[test]
    fn outer_bar_lines_are_optional() {
        assert_eq!(shape("| C | D |"), "|<C>|<D>|");
        assert_eq!(shape("C | D"), "<C>|<D>");
        assert_eq!(shape(" |: C :|2 D ||"), "|:<C>:|2<D>||");
        assert_eq!(shape("G4:2:|"), "<G4:2>:|");
    }

    #[test]
    fn blank_bars_inside_are_bars() {
        assert_eq!(shape("| | D |"), "|<>|<D>|");
        assert_eq!(shape("|"), "|");
        assert_eq!(shape(""), "");
        assert_eq!(shape("| C | |"), "|<C>|<>|");
    }
}
