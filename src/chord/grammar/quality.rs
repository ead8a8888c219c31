//! The kind of triad a symbol starts with, and the mark of a major seventh beside it.

use nom::Parser;
use nom::branch::alt;
use nom::character::complete::char;
use nom::combinator::{not, opt, peek, value};
use nom::sequence::{delimited, preceded, terminated};

use super::common::{Read, digit_next, end_of_body, spaced};
use super::words;

/// What stands between the root and the number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::chord) enum Quality {
    /// `maj`: the triad, or the mark of the seventh that follows.
    Major,
    /// `Δ`: the major seventh even without a number.
    Triangle,
    /// `m`
    Minor,
    /// `mM`, `m(maj)`, `-Δ`: a minor triad under a major seventh.
    MinorMajor,
    /// `dom`, only before a number.
    Dominant,
    /// `dim`
    Diminished,
    /// `°`: as `dim`, but some keep it for the seventh chord.
    Circle,
    /// `dimM`, `°M`: a diminished triad under a major seventh.
    DiminishedMajor,
    /// `ø`
    HalfDiminished,
    /// `aug`
    Augmented,
    /// `+`: as `aug`, but beside a 7 some mean the major seventh.
    Plus,
    /// `+M`, `augmaj`: an augmented triad under a major seventh.
    AugmentedMajor,
    /// `-5`: a major triad with a flat fifth, written like a minor sign.
    FlatFive,
    /// `Cd`, `C/dim`: an old tune collection's diminished triad.
    OldDiminished,
    /// `Ca`, `C/aug`: an old tune collection's augmented triad.
    OldAugmented,
}

/// `quality = half | diminished | minor | augmented | major | dominant | old`: `mM`, not `7`.
pub(super) fn quality(input: &str) -> Read<'_, Quality> {
    let usual = alt((
        value(Quality::HalfDiminished, words::half_diminished),
        diminished,
        flat_five,
        minor,
        augmented,
        value(Quality::Triangle, words::triangle),
        value(Quality::Major, words::major),
        value(
            Quality::Dominant,
            terminated(words::dominant, peek(spaced(number_next))),
        ),
    ));
    alt((spaced(usual), old)).parse(input)
}

/// `diminished = ( "dim" | circle ) [ major-mark ]`: `°M7`, not `do`.
fn diminished(input: &str) -> Read<'_, Quality> {
    let dim = value(Quality::Diminished, words::diminished);
    let circle = value(Quality::Circle, words::circle);
    let (rest, quality) = alt((dim, circle)).parse(input)?;
    let (rest, major) = opt(major_mark).parse(rest)?;
    Ok((rest, major.map_or(quality, |()| Quality::DiminishedMajor)))
}

/// `minor = ( "m" | minus ) [ major-mark ]`: `-Δ`, not `M`.
fn minor(input: &str) -> Read<'_, Quality> {
    let (rest, major) = preceded(words::minor, opt(major_mark)).parse(input)?;
    Ok((rest, major.map_or(Quality::Minor, |()| Quality::MinorMajor)))
}

/// `augmented = ( "aug" | "+" ) [ major-mark ]`: `+M7`, not `#5`.
fn augmented(input: &str) -> Read<'_, Quality> {
    let aug = value(Quality::Augmented, words::augmented);
    let (rest, quality) = alt((aug, value(Quality::Plus, words::plus))).parse(input)?;
    let (rest, major) = opt(major_mark).parse(rest)?;
    Ok((rest, major.map_or(quality, |()| Quality::AugmentedMajor)))
}

/// `flat-five = minus "5"`: the `-5` of `C-5`, not of `C-7`.
fn flat_five(input: &str) -> Read<'_, Quality> {
    let five = terminated(char('5'), peek(not(nom::character::complete::digit1)));
    value(Quality::FlatFive, preceded(words::minus, five)).parse(input)
}

/// `major-mark = [ " " | "/" ] major | "(" major ")"`: `(maj)`, not `(maj7)`, which is a change.
fn major_mark(input: &str) -> Read<'_, ()> {
    let mark = || alt((words::major, words::triangle));
    let slashed = preceded(char('/'), terminated(mark(), peek(number_next)));
    let bracketed = delimited(char('('), mark(), char(')'));
    alt((spaced(mark()), slashed, bracketed)).parse(input)
}

/// `old = "d" | "a" | "/dim" | "/aug"` at the end or before 7: `Cd`, not `Cdx` nor `C d`, which is a
/// chord and a bass note.
fn old(input: &str) -> Read<'_, Quality> {
    let end = || peek(alt((end_of_body, char('7').map(|_| ()))));
    let d = terminated(char('d'), end()).map(|_| ());
    let a = terminated(char('a'), end()).map(|_| ());
    let dim = alt((d, preceded(char('/'), words::diminished)));
    let aug = alt((a, preceded(char('/'), words::augmented)));
    alt((
        value(Quality::OldDiminished, dim),
        value(Quality::OldAugmented, aug),
    ))
    .parse(input)
}

fn number_next(input: &str) -> Read<'_, ()> {
    if digit_next(input) {
        Ok((input, ()))
    } else {
        nom::combinator::fail().parse(input)
    }
}

#[cfg(test)]
mod tests {
    use super::{Quality, quality};

    #[test]
    fn each_quality_is_read_and_what_follows_is_left() {
        for (text, expected, rest) in [
            ("m7", Quality::Minor, "7"),
            ("–7", Quality::Minor, "7"),
            ("MI7", Quality::Minor, "7"),
            (" minor", Quality::Minor, ""),
            ("mM7", Quality::MinorMajor, "7"),
            ("min(maj)7", Quality::MinorMajor, "7"),
            ("m/ma7", Quality::MinorMajor, "7"),
            ("m(maj7)", Quality::Minor, "(maj7)"),
            ("madd9", Quality::Minor, "add9"),
            ("M7", Quality::Major, "7"),
            ("Δ", Quality::Triangle, ""),
            ("º7", Quality::Circle, "7"),
            ("ø", Quality::HalfDiminished, ""),
            ("+M7", Quality::AugmentedMajor, "7"),
            ("-5", Quality::FlatFive, ""),
            ("-7", Quality::Minor, "7"),
            ("d", Quality::OldDiminished, ""),
            ("/dim", Quality::OldDiminished, ""),
            ("a7", Quality::OldAugmented, "7"),
        ] {
            assert_eq!(quality(text).unwrap(), (rest, expected), "{text}");
        }
    }

    #[test]
    fn what_is_no_quality_is_left_alone() {
        for text in [
            "7", "sus", " d", "/D", "omit3", "no3", "add9", "dom", "alt", "b9",
        ] {
            assert!(quality(text).is_err(), "{text}");
        }
    }
}
