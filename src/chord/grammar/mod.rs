//! The grammar of chord symbols: what is written, before anybody asks what it means.
//!
//! ```text
//! symbol = chord | "(" chord ")"
//! chord  = body [ "//" body | "/" name ]
//! body   = root [ quality ] [ number ] { change }
//! ```
//!
//! The parts stand in files of their own, from small to large: [`words`], [`root`] (and the bass),
//! [`quality`], [`number`], [`degree`], [`change`]. Every function carries its production with one
//! text it accepts and one it refuses. A parser that fails lets another try; once a sign has decided
//! what follows (a bracket, `add`), what can't follow is reported at its place.

mod change;
mod common;
mod degree;
mod located;
mod number;
mod quality;
mod root;
mod words;

use nom::character::complete::char;
use nom::combinator::{eof, opt, peek};
use nom::multi::many0;
use nom::sequence::preceded;
use nom::{Err, Offset, Parser};

pub(super) use change::{Modifier, Suspension};
pub(super) use located::Located;
pub(super) use number::Number;
pub(super) use quality::Quality;
pub(super) use root::{NameStyle, Spelled, WrittenName};

use self::common::{GrammarError, Read, stop, token};
use super::Unread;

/// The longest symbol in bytes; the longest ones met in real charts have about thirty.
const LONGEST: usize = 100;

/// What a symbol says.
#[derive(Debug)]
pub(super) struct Parts<'a> {
    /// Whether the whole symbol stands in brackets.
    pub bracketed: bool,
    /// The chord, or the upper one of a polychord.
    pub body: Body<'a>,
    /// The lower chord of a polychord.
    pub lower: Option<Body<'a>>,
    /// The note after the slash.
    pub bass: Option<Spelled<'a>>,
}

/// A chord without its bass.
#[derive(Debug)]
pub(super) struct Body<'a> {
    pub root: Spelled<'a>,
    pub quality: Option<Quality>,
    pub number: Option<Located<'a, Number>>,
    pub changes: Vec<Located<'a, Modifier>>,
}

/// The parts of a symbol, or the place where it stops being one.
pub(super) fn parts(text: &str) -> Result<Parts<'_>, Unread> {
    if text.len() > LONGEST {
        return Err(Unread::new(
            0..text.len(),
            "a symbol of at most a hundred bytes",
            None,
        ));
    }
    match symbol(text) {
        Ok(("", parts)) => Ok(parts),
        Ok((rest, parts)) => Err(leftover(text, rest, &parts)),
        Err(Err::Error(trouble) | Err::Failure(trouble)) => Err(trouble.unread(text)),
        Err(Err::Incomplete(_)) => Err(Unread::new(text.len()..text.len(), "the rest", None)),
    }
}

/// `symbol = chord | "(" chord ")"`: `(G7)`, not `(G7`.
fn symbol(input: &str) -> Read<'_, Parts<'_>> {
    let (rest, open) = opt(char('(')).parse(input)?;
    let (rest, mut parts) = chord(rest)?;
    if open.is_none() {
        return Ok((rest, parts));
    }
    parts.bracketed = true;
    match preceded(char(')'), peek(eof::<_, GrammarError<'_>>)).parse(rest) {
        Ok((rest, _)) => Ok((rest, parts)),
        Err(_) => stop(rest, "`)` at the end of the chord in brackets", None),
    }
}

/// `chord = body [ "//" body | "/" name ]`: `D//C7`, not `D//`.
fn chord(input: &str) -> Read<'_, Parts<'_>> {
    let (rest, first) = body(input)?;
    let (rest, lower) = opt(root::lower_chord(body)).parse(rest)?;
    let (rest, bass) = match lower {
        Some(_) => (rest, None),
        None => opt(root::bass).parse(rest)?,
    };
    let parts = Parts {
        bracketed: false,
        body: first,
        lower,
        bass,
    };
    Ok((rest, parts))
}

/// `body = root [ quality ] [ number ] { change }`: `Cm7b5`, not `7`.
fn body(input: &str) -> Read<'_, Body<'_>> {
    let (rest, root) = root::root(input)?;
    let (rest, quality) = opt(quality::quality).parse(rest)?;
    let (rest, number) = opt(number::number).parse(rest)?;
    if quality.is_none() {
        match &number {
            None => change::not_a_second_accidental(rest).map(|_| ())?,
            Some(number) => change::not_a_list_of_two_minds(&root, number.what, rest)?,
        }
    }
    let (rest, changes) = many0(change::change).parse(rest)?;
    let body = Body {
        root,
        quality,
        number,
        changes: changes.into_iter().flatten().collect(),
    };
    Ok((rest, body))
}

/// What to say about text that follows a complete chord.
fn leftover(text: &str, rest: &str, parts: &Parts<'_>) -> Unread {
    let start = text.offset(rest);
    let blanks = rest.len() - rest.trim_start().len();
    let at = start + blanks;
    let word = &rest[blanks..];
    let (expected, help) = if parts.bass.is_some() {
        (
            "the end of the symbol after its bass note",
            Some("a chord over a chord is written `D//C7`"),
        )
    } else if word.starts_with(['<', '[', '{']) {
        (
            "an extension such as 7, b9 or sus4",
            Some("write the chord as on paper: `C7(#5)`"),
        )
    } else if word.starts_with(')') {
        ("no `)`: none was opened", None)
    } else if blanks > 0 && root::root(word).is_ok() {
        ("one chord", Some("a second chord is a symbol of its own"))
    } else {
        (
            "a quality (m, maj7, dim), a number, an alteration (b9), sus, add, no, or a bass (/E)",
            None,
        )
    };
    Unread::new(at..at + token(word), expected, help)
}

#[cfg(test)]
mod tests {
    use super::{leftover, parts, symbol};

    fn refused(text: &str) -> (String, String) {
        let unread = parts(text).unwrap_err();
        (text[unread.span.clone()].to_owned(), unread.to_string())
    }

    #[test]
    fn a_symbol_beyond_a_hundred_bytes_is_refused_as_a_whole() {
        let of = |bytes: usize| format!("C{}", "q".repeat(bytes - 1));
        assert_eq!(refused(&of(100)).0, "q".repeat(99));
        let (place, told) = refused(&of(101));
        assert_eq!(
            (place, told.as_str()),
            (of(101), "a symbol of at most a hundred bytes")
        );
    }

    #[test]
    fn a_refusal_points_at_what_was_not_understood() {
        for (text, place) in [
            ("", ""),
            ("Cmaj7x", "x"),
            ("C7 drone", "drone"),
            ("Dm G7", "G7"),
            ("C<major>", "<major>"),
            ("C7)", ")"),
            ("(G7", ""),
            ("C7(b9", ""),
            ("C7add", ""),
            ("C/E/G", "/G"),
            ("C7(b9,q)", "q"),
            ("G♭7♭9é", "é"),
            ("C64", "64"),
            ("x7", "x7"),
            ("c7", "7"),
            ("Cb#9", "#9"),
            ("D//", ""),
            ("Bbb5,7", ",7"),
            ("Dbb5,7", ",7"),
            ("Ab5,7", ",7"),
            ("F##9,13", ",13"),
        ] {
            assert_eq!(refused(text).0, place, "{text}");
        }
    }

    #[test]
    fn a_second_chord_is_told_to_stand_alone() {
        assert!(refused("Dm G7").1.contains("symbol of its own"));
        let (rest, read) = symbol("C/E/G").unwrap();
        assert!(leftover("C/E/G", rest, &read).to_string().contains("D//C7"));
    }

    #[test]
    fn hostile_lengths_are_refused_at_once() {
        let long = format!("C{}", "(b9)".repeat(1_000_000));
        assert_eq!(refused(&long).0, long);
    }
}
