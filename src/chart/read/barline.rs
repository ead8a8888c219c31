//! Bar lines: `|`, `||`, `|]`, `|:`, `:|`, `:|x3`, `::`, `|1`, `:|2`, `|1,3`, `|1-3`.
//!
//! A bar line closes the bar on its left and opens the one on its right; one sign can do both
//! (`:|:`, `:|2`). Where an opening cannot be glued to a closing (`:|x3` before an ending), two bar
//! lines written without a space between them count as one: `:|x3|2`.

use nom::branch::alt;
use nom::bytes::complete::{tag, take_while1};
use nom::character::complete::{char, digit1, one_of};
use nom::combinator::{not, opt, peek, value, verify};
use nom::sequence::{preceded, terminated};
use nom::{IResult, Parser};

use super::text::Text;
use crate::chart::Stroke;

/// A bar line as written.
#[derive(Debug, Clone)]
pub(super) struct BarLine<'a> {
    pub text: Text<'a>,
    pub sign: BarSign<'a>,
}

/// What a bar line says; numbers are not yet looked at.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct BarSign<'a> {
    /// `:` on its left.
    pub ends: bool,
    /// The digits after `x`.
    pub times: Option<&'a str>,
    pub stroke: Stroke,
    /// `:` on its right.
    pub starts: bool,
    /// The digits, commas and hyphens on its right.
    pub endings: Option<&'a str>,
    /// Signs that do not go together.
    pub muddled: bool,
}

/// Reads the bar line `text` starts with, and what follows it.
pub(super) fn split(text: Text<'_>) -> Option<(BarLine<'_>, Text<'_>)> {
    let (rest, sign) = bar_line(text.text).ok()?;
    let (text, rest) = text.taken(rest);
    Some((BarLine { text, sign }, rest))
}

/// The byte at which the first bar line of a text starts.
pub(super) fn find(text: &str) -> Option<usize> {
    let bytes = text.as_bytes();
    bytes.iter().enumerate().find_map(|(i, byte)| {
        let starts = match byte {
            b'|' => true,
            b':' => matches!(bytes.get(i + 1), Some(b'|' | b':')) && is_at(text, i),
            _ => false,
        };
        starts.then_some(i)
    })
}

fn is_at(text: &str, byte: usize) -> bool {
    text.get(byte..).is_some_and(|t| first(t).is_ok())
}

fn bar_line(input: &str) -> IResult<&str, BarSign<'_>> {
    let (mut rest, mut sign) = first(input)?;
    while let Ok((after, next)) = piece(rest) {
        sign = sign.and(next);
        rest = after;
    }
    Ok((rest, sign))
}

fn first(input: &str) -> IResult<&str, BarSign<'_>> {
    alt((both_ways, piece)).parse(input)
}

/// `::`, short for `:|:`.
fn both_ways(input: &str) -> IResult<&str, BarSign<'_>> {
    let sign = BarSign {
        ends: true,
        starts: true,
        ..BarSign::default()
    };
    value(sign, terminated(tag("::"), not(one_of(":|")))).parse(input)
}

fn piece(input: &str) -> IResult<&str, BarSign<'_>> {
    let (rest, (left, stroke, times, starts)) =
        (opt(char(':')), stroke, opt(times), opt(colon)).parse(input)?;
    let (rest, endings) = opt(endings).parse(rest)?;
    let sign = BarSign {
        ends: left.is_some(),
        times,
        stroke,
        starts: starts.is_some(),
        endings,
        muddled: starts.is_some() && endings.is_some() || times.is_some() && left.is_none(),
    };
    Ok((rest, sign))
}

fn stroke(input: &str) -> IResult<&str, Stroke> {
    alt((
        value(Stroke::Final, tag("|]")),
        value(Stroke::Double, tag("||")),
        value(Stroke::Single, tag("|")),
    ))
    .parse(input)
}

fn times(input: &str) -> IResult<&str, &str> {
    preceded(one_of("xX"), digit1).parse(input)
}

/// A colon that is not the left half of the next sign.
fn colon(input: &str) -> IResult<&str, char> {
    terminated(char(':'), not(char('|'))).parse(input)
}

/// Digits right behind the stroke, unless a `/` makes them a meter (`|3/4`).
fn endings(input: &str) -> IResult<&str, &str> {
    let number = verify(
        take_while1(|c: char| c.is_ascii_digit() || c == ',' || c == '-'),
        |text: &str| text.starts_with(|c: char| c.is_ascii_digit()),
    );
    terminated(number, (opt(char('.')), peek(not(char('/'))))).parse(input)
}

impl BarSign<'_> {
    /// Two signs without a space between them: the second may only open what the first does not.
    fn and(self, next: Self) -> Self {
        let opens = next.starts || next.endings.is_some();
        let twice = self.starts || self.endings.is_some() && next.endings.is_some();
        let muddled = self.muddled || next.muddled || next.ends || !opens || twice;
        Self {
            starts: next.starts,
            endings: self.endings.or(next.endings),
            muddled,
            ..self
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> BarSign<'_> {
        let (line, rest) = split(Text::new(text, 0)).unwrap();
        assert_eq!(rest.text, "", "{text}");
        line.sign
    }

    #[test]
    fn signs_close_on_the_left_and_open_on_the_right() {
        let plain = BarSign::default();
        let ends = BarSign {
            ends: true,
            ..plain.clone()
        };
        let starts = BarSign {
            starts: true,
            ..plain.clone()
        };
        let both = BarSign {
            ends: true,
            ..starts.clone()
        };
        assert_eq!(read("|"), plain);
        assert_eq!(read(":|"), ends);
        assert_eq!(read("|:"), starts);
        assert_eq!(read("::"), both);
        assert_eq!(read(":|:"), both);
        assert_eq!(read("||:").stroke, Stroke::Double);
        assert_eq!(read("|]").stroke, Stroke::Final);
        assert!(read(":||:").ends && read(":||:").starts);
    }

    #[test]
    fn numbers_are_endings_and_counts() {
        assert_eq!(read("|1").endings, Some("1"));
        assert_eq!(read(":|2").endings, Some("2"));
        assert_eq!(read("|1,3.").endings, Some("1,3"));
        assert_eq!(read("|1-3").endings, Some("1-3"));
        assert_eq!(read(":|x3").times, Some("3"));
        let glued = read(":|x3|2");
        assert_eq!((glued.times, glued.endings), (Some("3"), Some("2")));
        let nested = read("|1|:");
        assert!(nested.starts && nested.endings == Some("1") && !nested.muddled);
    }

    #[test]
    fn a_meter_behind_a_bar_line_is_no_ending() {
        let (line, rest) = split(Text::new("|3/4 C", 0)).unwrap();
        assert_eq!((line.sign.endings, rest.text), (None, "3/4 C"));
    }

    #[test]
    fn signs_that_do_not_go_together_are_muddled() {
        for text in ["|||", "|:|", "|1|2", "|x3", "|:1", ":|:|", "|]|"] {
            assert!(read(text).muddled, "{text}");
        }
    }

    #[test]
    fn a_colon_alone_is_no_bar_line() {
        assert_eq!(find("C5:3 Ab4:1"), None);
        assert_eq!(find("C5:3:|"), Some(4));
        assert_eq!(find("C :: D"), Some(2));
        assert_eq!(find("♭♭|"), Some(6));
    }
}
