//! The number after the quality: how far the thirds are stacked.

use nom::Parser;
use nom::branch::alt;
use nom::bytes::complete::tag;
use nom::combinator::{consumed, not, opt, peek, value};
use nom::sequence::terminated;

use super::common::{Read, digit_next, spaced, stop};
use super::located::Located;
use super::words;

/// The number of a symbol.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::chord) enum Number {
    /// `C2`
    Two,
    /// `C4`
    Four,
    /// `C5`
    Five,
    /// `C6`
    Six,
    /// `C6/9`, `C69`
    SixNine,
    /// 7, 9, 11 or 13.
    Stack {
        /// The number.
        to: u8,
        /// Whether a major mark follows it, as in `C7M`.
        major: bool,
    },
}

impl Number {
    /// Whether it is a degree that is altered in symbols: b5, #9, #11, b13.
    pub fn may_be_altered(self) -> bool {
        matches!(
            self,
            Self::Five
                | Self::Stack {
                    to: 9 | 11 | 13,
                    major: false
                }
        )
    }
}

const EXPECTED: &str = "2, 4, 5, 6, 6/9, 7, 9, 11 or 13";

/// `number = "6/9" | "69" | digits [ major ]`: `13`, not `64`.
pub(super) fn number(input: &str) -> Read<'_, Located<'_, Number>> {
    spaced(consumed(alt((six_nine, plain))))
        .map(|(text, what)| Located { text, what })
        .parse(input)
}

/// `six-nine = "6/9" | "69"`, not `6/95`.
fn six_nine(input: &str) -> Read<'_, Number> {
    let end = peek(not(nom::character::complete::digit1));
    value(
        Number::SixNine,
        terminated(alt((tag("6/9"), tag("69"))), end),
    )
    .parse(input)
}

/// `plain = "2" | "4" | "5" | "6" | ( "7" | "9" | "11" | "13" ) [ major ]`: `7M`, not `8`.
fn plain(input: &str) -> Read<'_, Number> {
    let (rest, digits) = words::digits(input)?;
    let stack = |to| trailing_major(rest).map(|(rest, major)| (rest, Number::Stack { to, major }));
    match digits {
        "2" => Ok((rest, Number::Two)),
        "4" => Ok((rest, Number::Four)),
        "5" => Ok((rest, Number::Five)),
        "6" => Ok((rest, Number::Six)),
        "7" => stack(7),
        "9" => stack(9),
        "11" => stack(11),
        "13" => stack(13),
        "64" => stop(
            input,
            EXPECTED,
            Some("a chord over its fifth is written with its bass: C/G"),
        ),
        _ => stop(input, EXPECTED, None),
    }
}

/// The major mark of `C7M`; in `C7M7` and `C7maj9` it belongs to the number after it.
fn trailing_major(input: &str) -> Read<'_, bool> {
    let (rest, major) = opt(words::major).parse(input)?;
    match major {
        Some(()) if !digit_next(rest) => Ok((rest, true)),
        _ => Ok((input, false)),
    }
}

#[cfg(test)]
mod tests {
    use super::{Number, number};

    #[test]
    fn numbers_are_taken_whole() {
        for (text, expected, rest) in [
            (
                "13b9",
                Number::Stack {
                    to: 13,
                    major: false,
                },
                "b9",
            ),
            ("7M", Number::Stack { to: 7, major: true }, ""),
            (
                "7M7",
                Number::Stack {
                    to: 7,
                    major: false,
                },
                "M7",
            ),
            ("6/9", Number::SixNine, ""),
            ("69", Number::SixNine, ""),
            ("6/E", Number::Six, "/E"),
            (
                " 7",
                Number::Stack {
                    to: 7,
                    major: false,
                },
                "",
            ),
        ] {
            let (left, read) = number(text).unwrap();
            assert_eq!((left, read.what), (rest, expected), "{text}");
        }
        for text in ["64", "1", "75", "137", "x", "99999999999999999999"] {
            assert!(number(text).is_err(), "{text}");
        }
    }
}
