//! What every parser of the grammar gives back, and the small ones that all of them use.

use nom::branch::alt;
use nom::character::complete::char;
use nom::combinator::{eof, peek};
use nom::error::{ErrorKind, ParseError};
use nom::sequence::preceded;
use nom::{Err, IResult, Offset, Parser};

use crate::chord::Unread;

/// What a parser gives back.
pub(super) type Read<'a, T> = IResult<&'a str, T, GrammarError<'a>>;

/// Where a parser stopped, and what it wanted there.
#[derive(Debug)]
pub(super) struct GrammarError<'a> {
    pub at: &'a str,
    pub expected: &'static str,
    pub help: Option<&'static str>,
}

impl<'a> ParseError<&'a str> for GrammarError<'a> {
    fn from_error_kind(at: &'a str, _: ErrorKind) -> Self {
        Self {
            at,
            expected: "a chord symbol",
            help: None,
        }
    }

    fn append(_: &'a str, _: ErrorKind, other: Self) -> Self {
        other
    }
}

/// Stops every other attempt: from here on only `expected` could follow.
pub(super) fn stop<'a, T>(
    at: &'a str,
    expected: &'static str,
    help: Option<&'static str>,
) -> Read<'a, T> {
    Err(Err::Failure(GrammarError { at, expected, help }))
}

impl GrammarError<'_> {
    pub fn unread(&self, text: &str) -> Unread {
        let start = text.offset(self.at);
        Unread::new(start..start + token(self.at), self.expected, self.help)
    }
}

/// The bytes up to the next separator: what gets underlined.
pub(super) fn token(at: &str) -> usize {
    let separator = |c: char| c.is_whitespace() || "(),/".contains(c);
    let first = at.chars().next().map_or(0, char::len_utf8);
    at.get(first..)
        .and_then(|rest| rest.find(separator))
        .map_or(at.len(), |end| first + end)
}

/// Runs a parser on blanks and then what it reads: `C 7`.
pub(super) fn spaced<'a, T>(
    parser: impl Parser<&'a str, Output = T, Error = GrammarError<'a>>,
) -> impl Parser<&'a str, Output = T, Error = GrammarError<'a>> {
    preceded(nom::character::complete::space0, parser)
}

/// Whether a digit comes next.
pub(super) fn digit_next(input: &str) -> bool {
    input.starts_with(|c: char| c.is_ascii_digit())
}

/// A parser that succeeds at the end of a chord's body: end of text, a slash, a closing bracket.
pub(super) fn end_of_body(input: &str) -> Read<'_, ()> {
    peek(alt((
        eof.map(|_| ()),
        char('/').map(|_| ()),
        char(')').map(|_| ()),
    )))
    .parse(input)
}
