//! Degrees as symbols write them: `b9`, `+11`, `-5`, `3rd`.

use nom::Parser;
use nom::branch::alt;
use nom::bytes::complete::tag_no_case;
use nom::combinator::{opt, value, verify};
use nom::sequence::{preceded, terminated};

use super::common::Read;
use super::words;
use crate::pitch::Degree;

/// `alteration = sign digits`: `b9`, `♯11`, `-5`, `bb7`, not `9`. Lower octaves are raised: a 2 is
/// a 9, a 4 an 11, a 6 a 13.
pub(super) fn alteration(input: &str) -> Read<'_, Degree> {
    let (rest, alter) = sign(input)?;
    let (rest, number) = number(rest)?;
    let known = tension(number, alter).filter(|degree| is_in_use(*degree));
    match known {
        Some(degree) => Ok((rest, degree)),
        None => super::common::stop(
            input,
            "an alteration in use: b3, b5, #5, b7, b9, #9, #11 or b13",
            None,
        ),
    }
}

/// `natural = digits [ ordinal ]`, 1 to 13: `9`, `3rd`, not `b9`.
pub(super) fn natural(input: &str) -> Read<'_, u8> {
    verify(number, |&number| (1..=13).contains(&number)).parse(input)
}

/// The degree of a tension: never below the octave, except the third, fifth and seventh.
pub(in crate::chord) fn tension(number: u8, alter: i8) -> Option<Degree> {
    let number = match number {
        2 | 4 | 6 => number + 7,
        other => other,
    };
    Degree::new(number, alter)
}

/// `sign = flat [ flat ] | sharp | "+" | minus`: `b`, not `♮`. A plus or minus counts only before the
/// degrees it is used with: `C(+7)` has been used for both sevenths.
fn sign(input: &str) -> Read<'_, i8> {
    let plus = |input| {
        let (rest, ()) = words::plus(input)?;
        verify(number, |number| [4, 5, 9, 11].contains(number)).parse(rest)?;
        Ok((rest, 1))
    };
    let minus = |input| {
        let (rest, ()) = words::minus(input)?;
        verify(number, |number| [5, 6, 9, 13].contains(number)).parse(rest)?;
        Ok((rest, -1))
    };
    let flats = preceded(words::flat, opt(words::flat))
        .map(|second| if second.is_some() { -2 } else { -1 });
    alt((flats, value(1, words::sharp), plus, minus)).parse(input)
}

/// `number = digits [ "st" | "nd" | "rd" | "th" ]`, below 256: `3rd`, not `1000`.
fn number(input: &str) -> Read<'_, u8> {
    let ordinal = opt(alt((
        tag_no_case("rd"),
        tag_no_case("th"),
        tag_no_case("st"),
        tag_no_case("nd"),
    )));
    terminated(words::digits, ordinal)
        .map_opt(|digits: &str| digits.parse().ok())
        .parse(input)
}

fn is_in_use(degree: Degree) -> bool {
    matches!(
        (degree.number(), degree.alter()),
        (3, -1) | (5, -1 | 1) | (7, -2 | -1 | 1) | (9, -1 | 1) | (11, 1) | (13, -1)
    )
}

#[cfg(test)]
mod tests {
    use super::{alteration, natural};

    #[test]
    fn every_sign_means_one_thing() {
        for (text, degree) in [
            ("b9", "b9"),
            ("♭9", "b9"),
            ("-9", "b9"),
            ("#11", "#11"),
            ("+11", "#11"),
            ("+4", "#11"),
            ("b6", "b13"),
            ("−5", "b5"),
            ("#7", "#7"),
            ("bb7", "bb7"),
        ] {
            assert_eq!(alteration(text).unwrap().1.to_string(), degree, "{text}");
        }
        for text in [
            "9", "b4", "b11", "#13", "+7", "bb5", "b", "-7", "b1", "#1000",
        ] {
            assert!(alteration(text).is_err(), "{text}");
        }
    }

    #[test]
    fn ordinals_are_numbers() {
        assert_eq!(natural("3rd").unwrap(), ("", 3));
        assert!(natural("14").is_err());
        assert!(natural("0").is_err());
    }
}
