//! Everything after the number: suspensions, alterations, added and left-out tones, brackets.

use nom::branch::alt;
use nom::bytes::complete::tag;
use nom::character::complete::{char, one_of, space0};
use nom::combinator::{consumed, not, opt, peek, value};
use nom::multi::{many0, many0_count};
use nom::sequence::{preceded, terminated};
use nom::{Err, Parser};

use super::common::{Read, digit_next, spaced, stop};
use super::located::Located;
use super::{Number, Spelled, degree, words};
use crate::pitch::Degree;

/// One change to the stack of thirds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::chord) enum Modifier {
    /// `sus…`
    Suspend(Suspension),
    /// `b9`, `#5`
    Alter(Degree),
    /// A degree by itself in brackets, after a comma or a slash: `(13)`, `/9`.
    Bare(u8),
    /// `add9`
    Add(u8),
    /// `addb9`
    AddAltered(Degree),
    /// `no3`
    Omit(u8),
    /// `maj7`, `(MA9)`, `(7M)`: a major seventh and the stack above it.
    MajorStack(u8),
    /// `(+7)`, `+7` after a minor sign.
    PlusSeven,
    /// A plus or `aug` after the number: `7+`.
    Raise,
    /// `alt`
    Altered,
}

/// What takes the third's place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::chord) struct Suspension {
    pub second: bool,
    pub fourth: bool,
    /// `sus7`, `sus47`, `sus9`: the stack, written after the word.
    pub stack: Option<u8>,
}

const EXPECTED: &str = "a tension or alteration such as 9, b9 or #11, add, no, sus or maj7";

/// `change = item | "," listed | "/" tension | "(" listed { separator listed } ")"`: `(b9,#5)`, not
/// `x`. A list of left-out degrees is as many changes, so this gives several.
pub(super) fn change(input: &str) -> Read<'_, Vec<Located<'_, Modifier>>> {
    let after_comma = preceded((space0, char(','), space0), listed);
    alt((bracket, after_comma, slashed, spaced(item))).parse(input)
}

/// Refuses an accidental that would be a second one of the root: `Cb#9`, not `C(#9)`.
pub(super) fn not_a_second_accidental(input: &str) -> Read<'_, ()> {
    match alt((words::flat, words::sharp)).parse(input) {
        Ok(_) => stop(
            input,
            "no accidental of the other kind right after the root",
            Some("put the alteration in brackets: C(#9)"),
        ),
        Err(_) => Ok((input, ())),
    }
}

/// Refuses a list that may begin inside the root: `Bbb5,7` is Bb with b5 and 7, or Bbb with 5 and 7.
pub(super) fn not_a_list_of_two_minds<'a>(
    root: &Spelled<'_>,
    number: Number,
    rest: &'a str,
) -> Result<(), Err<super::common::GrammarError<'a>>> {
    let may_belong_to_number = match root.name.alter().abs() {
        0 => false,
        1 => number == Number::Five,
        _ => number.may_be_altered(),
    };
    if may_belong_to_number && rest.trim_start().starts_with(',') {
        stop(
            rest,
            "no comma: the accidental before the number may be the root's or the number's",
            Some("put what is altered in brackets: Bb7(b5)"),
        )
        .map(|(_, ())| ())
    } else {
        Ok(())
    }
}

/// `bracket = "(" listed { separator listed } ")"`: `(add 9, omit 3)`, not `()`.
fn bracket(input: &str) -> Read<'_, Vec<Located<'_, Modifier>>> {
    let (rest, _) = (space0, char('(')).parse(input)?;
    let (rest, first) = required(rest)?;
    let separated = preceded(separator, listed);
    let (rest, more) = many0(separated).parse(rest)?;
    let (rest, _) = space0(rest)?;
    match char::<_, super::common::GrammarError<'_>>(')').parse(rest) {
        Ok((rest, _)) => Ok((
            rest,
            first
                .into_iter()
                .chain(more.into_iter().flatten())
                .collect(),
        )),
        Err(_) if rest.is_empty() => stop(rest, "`)` to close the bracket", None),
        Err(_) => required(separator(rest)?.0).and_then(|_| stop(rest, "`)` or a comma", None)),
    }
}

/// What has to come next in a bracket.
fn required(input: &str) -> Read<'_, Vec<Located<'_, Modifier>>> {
    match listed(input) {
        Err(Err::Error(_)) => {
            let at = input.trim_start();
            let chord = at.starts_with(|c: char| ('A'..='G').contains(&c));
            stop(
                at,
                EXPECTED,
                chord.then_some("a second chord is a symbol of its own"),
            )
        }
        other => other,
    }
}

/// `separator = { " " | "," | ";" | "/" }`, `, `, not `|`. The slash is usual in Brazil: `(b9/13)`.
fn separator(input: &str) -> Read<'_, ()> {
    many0_count(one_of(" ,;/")).map(|_| ()).parse(input)
}

/// `slashed = "/" ( digits [ "M" ] | alteration )`: `/9`, `/b9`, not `/b`, which is a bass.
fn slashed(input: &str) -> Read<'_, Vec<Located<'_, Modifier>>> {
    let degree = alt((stack_major, bare, alteration));
    let (rest, (text, what)) = preceded(char('/'), consumed(degree))
        .parse(input)
        .map_err(mild)?;
    Ok((rest, vec![Located { text, what }]))
}

/// After a slash an accidental may still be a bass note: let that be tried.
fn mild(error: Err<super::common::GrammarError<'_>>) -> Err<super::common::GrammarError<'_>> {
    match error {
        Err::Failure(trouble) => Err::Error(trouble),
        other => other,
    }
}

/// `listed = item | digits [ "M" ]`: `13`, `7M`, not `x`.
fn listed(input: &str) -> Read<'_, Vec<Located<'_, Modifier>>> {
    let number =
        consumed(alt((stack_major, bare))).map(|(text, what)| vec![Located { text, what }]);
    spaced(alt((item, number))).parse(input)
}

/// `item = omission | sus | add | alt | major | plus-seven | alteration | raise`: `sus4`, not `9`.
fn item(input: &str) -> Read<'_, Vec<Located<'_, Modifier>>> {
    let single = consumed(alt((
        suspension,
        addition,
        value(Modifier::Altered, terminated(words::altered, opt(tag("7")))),
        major_stack,
        alteration,
        plus_seven,
        raise,
    )));
    alt((
        omission,
        single.map(|(text, what)| vec![Located { text, what }]),
    ))
    .parse(input)
}

/// `sus = "sus" [ "2" | "4" | "24" ] [ "7" | "9" | "13" ]`: `sus47`, not `sus3`.
fn suspension(input: &str) -> Read<'_, Modifier> {
    let (rest, ()) = words::suspended(input)?;
    let (rest, digits) = opt(words::digits).parse(rest)?;
    let (place, stack) = match digits.unwrap_or("") {
        "" | "4" => ("4", None),
        "2" => ("2", None),
        "24" | "42" => ("24", None),
        "7" | "47" => ("4", Some(7)),
        "9" | "49" => ("4", Some(9)),
        "13" | "413" => ("4", Some(13)),
        "27" => ("2", Some(7)),
        _ => return stop(rest, "2, 4 or nothing after sus", None),
    };
    let suspension = Suspension {
        second: place.contains('2'),
        fourth: place.contains('4'),
        stack,
    };
    Ok((rest, Modifier::Suspend(suspension)))
}

/// `add = "add" [ " " ] ( alteration | digits | major "7" )`: `add b9`, not `add`.
fn addition(input: &str) -> Read<'_, Modifier> {
    let (rest, _) = (words::added, space0).parse(input)?;
    let number = degree::natural.map(Modifier::Add);
    let altered = degree::alteration.map(Modifier::AddAltered);
    match alt((number, altered, major_stack)).parse(rest) {
        Err(Err::Error(_)) => stop(rest, "a degree after add, such as 9 or b13", None),
        other => other,
    }
}

/// `omission = ( "no" | "omit" ) degree { "," degree }`: `no3`, `omit 3,5`, not `no`.
fn omission(input: &str) -> Read<'_, Vec<Located<'_, Modifier>>> {
    let (rest, _) = (words::omitted, space0).parse(input)?;
    let root = value(1, words::root_word);
    let one = || consumed(degree::natural);
    let (rest, first) = match consumed(alt((root, degree::natural))).parse(rest) {
        Err(Err::Error(_)) => return stop(rest, "a degree after no or omit, such as 3 or 5", None),
        other => other?,
    };
    let (rest, more) = many0(preceded((space0, char(','), space0), one())).parse(rest)?;
    let omit = |(text, number)| Located {
        text,
        what: Modifier::Omit(number),
    };
    Ok((rest, std::iter::once(first).chain(more).map(omit).collect()))
}

/// `major-stack = ( major | triangle ) ( "7" | "9" | "11" | "13" )`: `MA7`, not `maj`.
fn major_stack(input: &str) -> Read<'_, Modifier> {
    let mark = alt((words::major, words::triangle));
    let (rest, digits) = preceded((mark, space0), words::digits).parse(input)?;
    match stack(digits) {
        Some(to) => Ok((rest, Modifier::MajorStack(to))),
        None => stop(input, "maj7, maj9, maj11 or maj13", None),
    }
}

/// `stack-major = ( "7" | "9" | "11" | "13" ) major`, with no number after it: `7M`, not `7maj9`.
fn stack_major(input: &str) -> Read<'_, Modifier> {
    let end = peek(not(nom::character::complete::digit1));
    let number = words::digits.map_opt(stack);
    terminated(number, (words::major, end))
        .map(Modifier::MajorStack)
        .parse(input)
}

fn stack(digits: &str) -> Option<u8> {
    digits.parse().ok().filter(|to| [7, 9, 11, 13].contains(to))
}

/// `alteration` as a change: `b9`, not `9`.
fn alteration(input: &str) -> Read<'_, Modifier> {
    degree::alteration.map(Modifier::Alter).parse(input)
}

/// `plus-seven = "+7"`, not `+9`.
fn plus_seven(input: &str) -> Read<'_, Modifier> {
    let seven = terminated(char('7'), peek(not(nom::character::complete::digit1)));
    value(Modifier::PlusSeven, preceded(words::plus, seven)).parse(input)
}

/// `raise = "+" | "aug"` with no number after it: the `+` of `7+`, not of `7+9`.
fn raise(input: &str) -> Read<'_, Modifier> {
    let (rest, ()) = alt((words::plus, words::augmented)).parse(input)?;
    if digit_next(rest) {
        return stop(input, "an alteration in use: +4, +5, +9 or +11", None);
    }
    Ok((rest, Modifier::Raise))
}

/// `bare = digits`, 2 to 13: `13`, not `b13`.
fn bare(input: &str) -> Read<'_, Modifier> {
    degree::natural.map(Modifier::Bare).parse(input)
}

#[cfg(test)]
mod tests {
    use super::{Modifier, Suspension, change};

    fn changes(text: &str) -> Vec<Modifier> {
        let (rest, read) = change(text).unwrap();
        assert_eq!(rest, "", "{text}");
        read.into_iter().map(|written| written.what).collect()
    }

    #[test]
    fn brackets_commas_and_blanks_say_nothing() {
        let plain = changes("(b9,#5)");
        for text in ["(b9#5)", "( b9 , #5 )", "(b9 #5)", "(b9;#5)"] {
            assert_eq!(changes(text), plain, "{text}");
        }
    }

    #[test]
    fn each_change_is_read() {
        assert_eq!(changes("no3"), [Modifier::Omit(3)]);
        assert_eq!(
            changes("(omit 3,5)"),
            [Modifier::Omit(3), Modifier::Omit(5)]
        );
        assert_eq!(changes("(no3,add9)"), [Modifier::Omit(3), Modifier::Add(9)]);
        assert_eq!(changes("(no 3rd)"), [Modifier::Omit(3)]);
        assert_eq!(changes("(no root)"), [Modifier::Omit(1)]);
        assert_eq!(
            changes("(add ma7,11)"),
            [Modifier::MajorStack(7), Modifier::Bare(11)]
        );
        assert_eq!(changes("(7M)"), [Modifier::MajorStack(7)]);
        assert_eq!(
            changes("(7M/9)"),
            [Modifier::MajorStack(7), Modifier::Bare(9)]
        );
        assert_eq!(changes("/9"), [Modifier::Bare(9)]);
        assert_eq!(changes("+"), [Modifier::Raise]);
        assert_eq!(changes("(+7)"), [Modifier::PlusSeven]);
        assert_eq!(changes("alt."), [Modifier::Altered]);
    }

    #[test]
    fn what_follows_sus_says_what_stands_for_the_third_and_how_high_the_chord_goes() {
        for (digits, second, fourth, stack) in [
            ("", false, true, None),
            ("4", false, true, None),
            ("2", true, false, None),
            ("24", true, true, None),
            ("42", true, true, None),
            ("7", false, true, Some(7)),
            ("47", false, true, Some(7)),
            ("9", false, true, Some(9)),
            ("49", false, true, Some(9)),
            ("13", false, true, Some(13)),
            ("413", false, true, Some(13)),
            ("27", true, false, Some(7)),
        ] {
            let wanted = Modifier::Suspend(Suspension {
                second,
                fourth,
                stack,
            });
            assert_eq!(changes(&format!("sus{digits}")), [wanted], "sus{digits}");
        }
    }

    #[test]
    fn what_is_no_change_is_refused() {
        for text in [
            "x", "()", "(x)", "(b9", "add", "no", "/b", "/E", "sus3", "maj", "+13", "9",
        ] {
            assert!(change(text).is_err(), "{text}");
        }
    }
}
