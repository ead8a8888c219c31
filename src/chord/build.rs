//! From what a symbol says to the tones it asks for.
//!
//! The quality gives a triad, the number stacks thirds on it, then the changes are made in the order
//! they are written. The rules that are not in the letters themselves are common practice:
//!
//! - over a major third nobody plays a natural 11: C13 leaves it out, C11 is 9sus4;
//! - an altered tension replaces the natural one the stack implies: C13b9 has no 9;
//! - `b5` and `#5` alter the fifth, `#11` and `b13` stand beside it;
//! - a 6 under a seventh is a 13.
//!
//! A symbol that says two things at once (`C9b9`, `C7b5no5`, `Cm7sus4`) is refused.

use nom::Offset;

use super::draft::{Conflict, Draft};
use super::grammar::{Body, Located, Modifier, NameStyle, Number, Parts, Quality, Spelled};
use super::tone::{fifth, seventh, third};
use super::{Chord, Family, Reading, Unread, polychord};

/// The chord that `parts`, read from `symbol`, mean.
pub(super) fn chord(symbol: &str, parts: &Parts<'_>) -> Result<Chord, Unread> {
    let first = draft(symbol, &parts.body)?;
    let (root, tones, base) = match &parts.lower {
        None => (&parts.body.root, first.tones(), first),
        Some(body) => {
            let lower = draft(symbol, body)?;
            let upper_root = parts.body.root.name;
            let tones =
                polychord::merged(&lower.tones(), body.root.name, &first.tones(), upper_root);
            (&body.root, tones, lower)
        }
    };
    Ok(Chord {
        symbol: symbol.to_owned(),
        names: spelled(parts).map(|name| name.within(symbol)).collect(),
        root: root.name,
        bass: parts.bass.as_ref().map(|bass| bass.name),
        family: Family::of(&tones),
        frame: [third(&tones), fifth(&tones), seventh(&tones)],
        altered: base.altered,
        reading: base.reading.or_else(|| as_written(parts)),
        tones,
    })
}

/// The names in a symbol, the chord's own root first.
fn spelled<'p, 'a>(parts: &'p Parts<'a>) -> impl Iterator<Item = &'p Spelled<'a>> {
    let lower = parts.lower.iter().map(|body| &body.root);
    lower.chain([&parts.body.root]).chain(&parts.bass)
}

/// The note due to how the names and the whole are written, which says nothing about the tones.
fn as_written(parts: &Parts<'_>) -> Option<Reading> {
    let style = |style| spelled(parts).any(|name| name.style == style);
    let small_root = parts.body.root.style == NameStyle::Small;
    [
        (double_accidental(&parts.body), Reading::DoubleAccidental),
        (small_root, Reading::SmallLetter),
        (style(NameStyle::German), Reading::GermanH),
        (style(NameStyle::OldSharp), Reading::OldSharp),
        (parts.bracketed, Reading::Bracketed),
    ]
    .into_iter()
    .find_map(|(is_so, reading)| is_so.then_some(reading))
}

/// Whether the second accidental of the root may be meant for the number: `Bbb5`.
fn double_accidental(body: &Body<'_>) -> bool {
    let number = body.number.as_ref().map(|number| number.what);
    body.root.name.alter().abs() == 2
        && body.quality.is_none()
        && number.is_some_and(Number::may_be_altered)
}

/// The tones of one body.
fn draft(symbol: &str, body: &Body<'_>) -> Result<Draft, Unread> {
    let small = body.root.style == NameStyle::Small;
    let quality = body.quality.or(small.then_some(Quality::Minor));
    let mut draft = Draft::triad(quality);
    if let Some(number) = &body.number {
        let done = draft.number(quality, number.what);
        done.map_err(|conflict| at(symbol, number.text, conflict))?;
    }
    for (place, change) in body.changes.iter().enumerate() {
        let before = place.checked_sub(1).and_then(|i| body.changes.get(i));
        let done = draft.change(in_list(before, change.what));
        done.map_err(|conflict| at(symbol, change.text, conflict))?;
    }
    draft.settle(quality, body.number.as_ref().map(|number| number.what));
    Ok(draft)
}

/// In `(add 9,11)` the 11 is added too.
fn in_list(before: Option<&Located<'_, Modifier>>, change: Modifier) -> Modifier {
    match (before.map(|written| written.what), change) {
        (Some(Modifier::Add(_) | Modifier::AddAltered(_)), Modifier::Bare(number)) => {
            Modifier::Add(number)
        }
        (_, change) => change,
    }
}

fn at(symbol: &str, text: &str, conflict: Conflict) -> Unread {
    let start = symbol.offset(text);
    Unread::new(start..start + text.len(), conflict.expected, conflict.help)
}

#[cfg(test)]
mod tests {
    use crate::chord::Chord;

    #[test]
    fn a_symbol_that_says_two_things_at_once_is_refused_at_the_second() {
        for (symbol, place) in [
            ("C9b9", "b9"),
            ("C7b5no5", "5"),
            ("C7no5b5", "b5"),
            ("Cm7sus4", "sus4"),
            ("Cmaj7(b7)", "b7"),
            ("C13b13", "b13"),
            ("C7(maj7)", "maj7"),
            ("Cm5", "5"),
            ("C7no9", "9"),
            ("C+11", "11"),
            ("Cdim13", "13"),
            ("Cmalt", "alt"),
            ("C(+7)", "+7"),
            ("C7(5)", "5"),
            ("Caug7+", "+"),
            ("C6(b13)", "b13"),
            ("C9alt", "alt"),
            ("C5no5", "5"),
            ("C(no3,no5)", "5"),
        ] {
            let unread = Chord::read(symbol).unwrap_err();
            assert_eq!(&symbol[unread.span.clone()], place, "{symbol}: {unread}");
        }
    }
}
