//! The words and signs of chord symbols, in every usual spelling.

use nom::Parser;
use nom::branch::alt;
use nom::bytes::complete::tag_no_case;
use nom::character::complete::{char, digit1, one_of};
use nom::combinator::{not, opt, peek};
use nom::sequence::{preceded, terminated};

use super::common::Read;

/// Any of `list`, in any case, with the full stop of an abbreviation: `dim.`; the longest first.
fn any_of<'a>(list: &[&'static str], input: &'a str) -> Read<'a, ()> {
    for word in list {
        let mut parser = terminated(
            tag_no_case::<_, _, super::common::GrammarError<'_>>(*word),
            opt(char('.')),
        );
        if let Ok((rest, _)) = parser.parse(input) {
            return Ok((rest, ()));
        }
    }
    Err(super::Err::Error(super::common::GrammarError {
        at: input,
        expected: "a word",
        help: None,
    }))
}

/// `minor = "minor" | "min" | "mi" | "m" | minus`: `MI`, not `M` nor the `m` of `maj`.
pub(super) fn minor(input: &str) -> Read<'_, ()> {
    let word = |input| any_of(&["minor", "min", "mi"], input);
    let letter = preceded(peek(not(major)), char('m')).map(|_| ());
    alt((word, letter, minus)).parse(input)
}

/// `major = "major" | "maj" | "ma" | "M"`: `MA`, not the beginning of `madd9` or `maug`.
pub(super) fn major(input: &str) -> Read<'_, ()> {
    let word = |input| any_of(&["major", "maj"], input);
    let short = terminated(
        |input| any_of(&["ma"], input),
        peek(not(alt((
            tag_no_case("dd"),
            tag_no_case("lt"),
            tag_no_case("ug"),
        )))),
    );
    alt((word, short, char('M').map(|_| ()))).parse(input)
}

/// `triangle = "Δ" | "∆" | "△" | "^"`, not `A`. The first is a Greek letter, the second the sign.
pub(super) fn triangle(input: &str) -> Read<'_, ()> {
    one_of("Δ∆△^").map(|_| ()).parse(input)
}

/// `circle = "°" | "º" | "˚" | "o"`, not the `o` of `omit`. The second is the ordinal sign.
pub(super) fn circle(input: &str) -> Read<'_, ()> {
    let letter = terminated(char('o'), peek(not(tag_no_case("mit"))));
    alt((one_of("°º˚"), letter)).map(|_| ()).parse(input)
}

/// `diminished = "diminished" | "dim"`, not `dom`.
pub(super) fn diminished(input: &str) -> Read<'_, ()> {
    any_of(&["diminished", "dim"], input)
}

/// `half = "ø" | … | "hdim" | "1/2dim"`, not `dim`.
pub(super) fn half_diminished(input: &str) -> Read<'_, ()> {
    let words = [
        "half-diminished",
        "half diminished",
        "half-dim",
        "halfdim",
        "hdim",
        "1/2dim",
        "½dim",
    ];
    let slashed = one_of("øØ∅⌀").map(|_| ());
    alt((slashed, move |input| any_of(&words, input))).parse(input)
}

/// `augmented = "augmented" | "aug"`, not `a`.
pub(super) fn augmented(input: &str) -> Read<'_, ()> {
    any_of(&["augmented", "aug"], input)
}

/// `dominant = "dominant" | "dom"`, not `d`.
pub(super) fn dominant(input: &str) -> Read<'_, ()> {
    any_of(&["dominant", "dom"], input)
}

/// `suspended = "sus"`, not `s`.
pub(super) fn suspended(input: &str) -> Read<'_, ()> {
    any_of(&["sus"], input)
}

/// `added = "add"`, not `a`.
pub(super) fn added(input: &str) -> Read<'_, ()> {
    any_of(&["add"], input)
}

/// `omitted = "omit" | "no"`, not `n`.
pub(super) fn omitted(input: &str) -> Read<'_, ()> {
    any_of(&["omit", "no"], input)
}

/// `altered = "altered" | "alt"`, not `al`.
pub(super) fn altered(input: &str) -> Read<'_, ()> {
    any_of(&["altered", "alt"], input)
}

/// `root-word = "root" | "R"`, as in `no root`; not `r`.
pub(super) fn root_word(input: &str) -> Read<'_, ()> {
    alt((|input| any_of(&["root"], input), char('R').map(|_| ()))).parse(input)
}

/// `minus = "-" | "‐" | "‑" | "–" | "−"`: hyphens, the en dash and the minus sign, not `_`.
pub(super) fn minus(input: &str) -> Read<'_, ()> {
    one_of("-‐‑–−").map(|_| ()).parse(input)
}

/// `plus = "+"`, not `#`.
pub(super) fn plus(input: &str) -> Read<'_, ()> {
    char('+').map(|_| ()).parse(input)
}

/// `sharp = "#" | "♯"`, not `+`.
pub(super) fn sharp(input: &str) -> Read<'_, ()> {
    one_of("#♯").map(|_| ()).parse(input)
}

/// `flat = "b" | "♭"`, not `-`.
pub(super) fn flat(input: &str) -> Read<'_, ()> {
    one_of("b♭").map(|_| ()).parse(input)
}

/// `digits = digit { digit }`: all that stand there, `13`, not `x`.
pub(super) fn digits(input: &str) -> Read<'_, &str> {
    digit1(input)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_read_in_any_case_and_with_a_full_stop() {
        assert_eq!(minor("MIN7").unwrap().0, "7");
        assert_eq!(diminished("Dim.").unwrap().0, "");
        assert_eq!(major("Maj7").unwrap().0, "7");
        assert_eq!(altered("ALT.").unwrap().0, "");
    }

    #[test]
    fn one_letter_tells_major_from_minor() {
        assert!(minor("M7").is_err());
        assert!(major("m7").is_err());
        assert_eq!(major("M7").unwrap().0, "7");
        assert!(major("madd9").is_err());
    }

    #[test]
    fn look_alikes_are_read_as_what_they_look_like() {
        for sign in ["°", "º", "o"] {
            assert!(circle(sign).is_ok(), "{sign}");
        }
        assert!(circle("omit3").is_err());
        for sign in ["-", "–", "−"] {
            assert!(minus(sign).is_ok(), "{sign}");
        }
    }
}
