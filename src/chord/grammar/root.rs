//! Roots, bass notes, and the lower chord of a polychord.

use std::ops::Range;

use nom::branch::alt;
use nom::bytes::complete::tag;
use nom::character::complete::{char, one_of};
use nom::combinator::{consumed, not, peek, success, value};
use nom::multi::many1_count;
use nom::sequence::{preceded, terminated};
use nom::{Err, Offset, Parser};

use super::common::{GrammarError, Read, stop};
use super::words;
use crate::pitch::{Letter, Name};

/// The way a name is written, which transposing keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum NameStyle {
    /// `Bb`
    Plain,
    /// `bb`
    Small,
    /// `f+` for F#, as old tune collections write a bass.
    OldSharp,
    /// `H` for B.
    German,
}

/// A name in the text being read.
#[derive(Debug)]
pub(in crate::chord) struct Spelled<'a> {
    pub text: &'a str,
    pub name: Name,
    pub style: NameStyle,
}

/// A name and the bytes of the symbol it stands in.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct WrittenName {
    pub span: Range<usize>,
    pub name: Name,
    pub style: NameStyle,
}

impl Spelled<'_> {
    /// The same with its place in the whole symbol.
    pub fn within(&self, symbol: &str) -> WrittenName {
        let start = symbol.offset(self.text);
        WrittenName {
            span: start..start + self.text.len(),
            name: self.name,
            style: self.style,
        }
    }
}

/// `root = letter { accidental } | "H" | small-root`: `F#`, not `Ces`.
pub(super) fn root(input: &str) -> Read<'_, Spelled<'_>> {
    match alt((plain, german, small_root)).parse(input) {
        Err(Err::Error(_)) => stop(
            input,
            "a root note: a capital letter A to G, then # or b",
            None,
        ),
        other => other,
    }
}

/// `"/" name`: `/F#`, `/bb`, `/f+`, not `/x` and not `//`.
pub(super) fn bass(input: &str) -> Read<'_, Spelled<'_>> {
    let (rest, _) = terminated(char('/'), peek(not(char('/')))).parse(input)?;
    match alt((plain, german, old_sharp, small)).parse(rest) {
        Err(Err::Error(_)) => stop(rest, "a bass note, or a tension such as 9 or b13", None),
        other => other,
    }
}

/// `"//" body`: `//C7`, not `/C7`.
pub(super) fn lower_chord<'a, T>(
    body: impl Parser<&'a str, Output = T, Error = GrammarError<'a>>,
) -> impl Parser<&'a str, Output = T, Error = GrammarError<'a>> {
    preceded(tag("//"), body)
}

/// `plain = "A"…"G" { accidental }`, at most two: `Ebb`, not `e`.
fn plain(input: &str) -> Read<'_, Spelled<'_>> {
    named(one_of("ABCDEFG"), NameStyle::Plain, input)
}

/// `small = "a"…"g" { accidental }`: `bb`, not `B`.
fn small(input: &str) -> Read<'_, Spelled<'_>> {
    named(one_of("abcdefg"), NameStyle::Small, input)
}

/// `small-root = small`, at the end of the body: `f#`, not `f#7`, which could be minor or a slip.
fn small_root(input: &str) -> Read<'_, Spelled<'_>> {
    let (rest, root) = small(input)?;
    match super::common::end_of_body(rest) {
        Ok(_) => Ok((rest, root)),
        Err(_) => stop(
            rest,
            "nothing after a root in small letters",
            Some("write the root as a capital letter, and `m` if the chord is minor"),
        ),
    }
}

/// `old-sharp = small-letter "+"`: `f+`, not `F+`.
fn old_sharp(input: &str) -> Read<'_, Spelled<'_>> {
    let (rest, (text, letter)) =
        consumed(terminated(one_of("abcdefg"), words::plus)).parse(input)?;
    spelled(text, letter, 1, NameStyle::OldSharp, rest)
}

/// `german = "H"`, not `Hb`: that would be Bb, which German calls B.
fn german(input: &str) -> Read<'_, Spelled<'_>> {
    let (rest, (text, _)) = consumed(terminated(
        char('H'),
        peek(not(alt((words::flat, words::sharp)))),
    ))
    .parse(input)?;
    spelled(text, 'B', 0, NameStyle::German, rest)
}

fn named<'a>(
    letter: impl Parser<&'a str, Output = char, Error = GrammarError<'a>>,
    style: NameStyle,
    input: &'a str,
) -> Read<'a, Spelled<'a>> {
    let (rest, (text, (letter, alter))) = consumed((letter, accidentals)).parse(input)?;
    spelled(text, letter.to_ascii_uppercase(), alter, style, rest)
}

/// `accidentals = { flat } | { sharp } | "𝄫" | "𝄪" | "♮"`: `bb`, not `b#`.
fn accidentals(input: &str) -> Read<'_, i8> {
    let several = |sign: i8| move |count: usize| i8::try_from(count).map_or(i8::MAX, |n| sign * n);
    let flats = many1_count(words::flat).map(several(-1));
    let sharps = many1_count(words::sharp).map(several(1));
    let single = alt((
        value(-2, char('𝄫')),
        value(2, char('𝄪')),
        value(0, char('♮')),
    ));
    alt((flats, sharps, single, success(0))).parse(input)
}

fn spelled<'a>(
    text: &'a str,
    letter: char,
    alter: i8,
    style: NameStyle,
    rest: &'a str,
) -> Read<'a, Spelled<'a>> {
    let letter = Letter::from_char(letter.to_ascii_uppercase());
    let name = letter.and_then(|letter| Name::new(letter, alter));
    match name.filter(|name| name.alter().abs() <= 2) {
        Some(name) => Ok((rest, Spelled { text, name, style })),
        None => stop(text, "a note name with at most two accidentals", None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn name(read: Read<'_, Spelled<'_>>) -> (String, NameStyle) {
        let (_, spelled) = read.unwrap();
        (spelled.name.to_string(), spelled.style)
    }

    #[test]
    fn roots_are_capitals_unless_they_stand_alone() {
        assert_eq!(name(root("B♭7")), ("Bb".into(), NameStyle::Plain));
        assert_eq!(name(root("f#")), ("F#".into(), NameStyle::Small));
        assert_eq!(name(root("H7")), ("B".into(), NameStyle::German));
        assert!(root("f#7").is_err());
        assert!(root("Cbbb").is_err());
    }

    #[test]
    fn basses_come_in_any_case() {
        assert_eq!(name(bass("/F#")).0, "F#");
        assert_eq!(name(bass("/bb")).0, "Bb");
        assert_eq!(name(bass("/f+")), ("F#".into(), NameStyle::OldSharp));
        assert!(bass("/x").is_err());
        assert!(bass("//C").is_err());
    }
}
