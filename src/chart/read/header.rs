//! The `name: value` lines.
//!
//! Known names are read in either case; each may be given once. Every other name is kept with its
//! value and passed on.

use std::collections::HashSet;

use super::problems::Problems;
use super::text::Text;
use crate::chart::sizes::MOST_PLAYED;
use crate::chart::{Diagnostic, Field, Header, MiddleC, Played, Section};
use crate::pitch::{Key, Name};

/// Reads one line; `None` when it has a mistake, which is noted.
pub(super) fn field(name: Text<'_>, value: Text<'_>, problems: &mut Problems) -> Option<Field> {
    let known = name.text.to_ascii_lowercase();
    let result = match known.as_str() {
        "title" => Ok(Field::Title(value.text.to_owned())),
        "key" => key(value),
        "meter" => parsed(
            value,
            Field::Meter,
            "meter",
            "a meter such as 4/4, 3/4 or 6/8",
        )
        .map_err(|p| p.help("the upper number is 1 to 32, the lower 2, 4, 8 or 16")),
        "tempo" => tempo(value),
        "middle-c" => middle_c(value),
        "spelling" => spelling(value),
        // The names are looked up at the end of the chart, when its sections are known.
        "play" => Ok(Field::Play(Vec::new())),
        _ => Ok(Field::Other {
            name: name.text.to_owned(),
            value: value.text.to_owned(),
        }),
    };
    result.map_err(|problem| problems.add(problem)).ok()
}

fn parsed<T: std::str::FromStr>(
    value: Text<'_>,
    field: fn(T) -> Field,
    what: &str,
    expected: &str,
) -> Result<Field, Diagnostic> {
    let wrong = |_| {
        Diagnostic::error(
            value.range(),
            format!("`{}` is not a {what}", value.shown()),
            expected,
        )
    };
    value.text.parse().map(field).map_err(wrong)
}

/// A key; one whose signature would need more than seven accidentals under its other name, so that
/// G# is Ab.
fn key(value: Text<'_>) -> Result<Field, Diagnostic> {
    let key = value.text.parse().ok().or_else(|| respelled(value.text));
    key.map(Field::Key).ok_or_else(|| {
        let message = format!("`{}` is not a key", value.shown());
        Diagnostic::error(value.range(), message, "a key such as Eb, F#m or C minor")
    })
}

fn respelled(text: &str) -> Option<Key> {
    let (tonic, mode) = Name::split(text)?;
    // Any tonic will do to read the mode, and C has both.
    let mode = format!("C{mode}").parse::<Key>().ok()?.mode();
    Key::usual(tonic.class(), mode)
}

fn tempo(value: Text<'_>) -> Result<Field, Diagnostic> {
    let plain = value.text.bytes().all(|b| b.is_ascii_digit());
    let tempo = value
        .text
        .parse()
        .ok()
        .filter(|t| plain && Header::TEMPI.contains(t));
    tempo.map(Field::Tempo).ok_or_else(|| {
        let message = format!("`{}` is not a tempo", value.shown());
        Diagnostic::error(value.range(), message, "beats a minute, from 1 to 999")
    })
}

fn spelling(value: Text<'_>) -> Result<Field, Diagnostic> {
    value.text.parse().map(Field::Spelling).map_err(|_| {
        let message = format!("`{}` is no way of spelling", value.shown());
        Diagnostic::error(value.range(), message, "practical or strict")
    })
}

fn middle_c(value: Text<'_>) -> Result<Field, Diagnostic> {
    let mut ways = MiddleC::ALL.into_iter();
    let way = ways.find(|way| way.to_string().eq_ignore_ascii_case(value.text));
    way.map(Field::MiddleC).ok_or_else(|| {
        let message = format!("`{}` is no name for middle C", value.shown());
        Diagnostic::error(value.range(), message, "C3, C4 or C5")
    })
}

/// The sections of a `play` line; notes every name that no section has.
///
/// Commas part the names where there are any; otherwise the whole is one section's name if there
/// is such a section, and else every word is a name.
pub(super) fn play(value: Text<'_>, sections: &[Section], problems: &mut Problems) -> Vec<Played> {
    let names: Vec<&str> = sections.iter().filter_map(|s| s.name.as_deref()).collect();
    // A set, since a long `play` line over a long chart must not be a square of work.
    let known: HashSet<&str> = names.iter().copied().collect();
    let advice = advice(&names);
    let mut played = Vec::new();
    for text in pieces(value, &known) {
        if played.len() == MOST_PLAYED {
            problems.add(too_many(text));
            break;
        }
        let name = one_spaced(text.text);
        if !known.contains(name.as_str()) {
            problems.add(unknown_section(text, &advice));
        }
        let span = text.span();
        played.push(Played { name, span });
    }
    if played.is_empty() {
        problems.add(Diagnostic::error(
            value.range(),
            "`play` names no section",
            "section names",
        ));
    }
    played
}

fn pieces<'a>(value: Text<'a>, known: &HashSet<&str>) -> Vec<Text<'a>> {
    if value.text.contains(',') {
        value.split(',').map(Text::trim).collect()
    } else if known.contains(one_spaced(value.text).as_str()) {
        vec![value]
    } else {
        value.words().collect()
    }
}

/// The text with its words one space apart: how section names are kept.
pub(super) fn one_spaced(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn too_many(text: Text<'_>) -> Diagnostic {
    let message = format!("more than {MOST_PLAYED} sections to play");
    Diagnostic::error(text.range(), message, "fewer names")
}

/// How many section names an advice lists.
const LISTED: usize = 12;

fn unknown_section(text: Text<'_>, advice: &str) -> Diagnostic {
    let message = match text.text {
        "" => "a section name is missing between the commas".to_owned(),
        name => format!("no section is called `{name}`"),
    };
    Diagnostic::error(text.range(), message, "the name of a section").help(advice)
}

/// The names there are, some of them, worked out once however many are missing.
fn advice(names: &[&str]) -> String {
    let mut seen = HashSet::new();
    let distinct: Vec<&str> = names
        .iter()
        .copied()
        .filter(|name| seen.insert(*name))
        .collect();
    match distinct.get(..LISTED) {
        _ if distinct.is_empty() => {
            "a section starts with its name in brackets, such as [A]".to_owned()
        }
        Some(first) => format!("the first sections are {}", first.join(", ")),
        None => format!(
            "the sections are {}; put commas between names that have spaces",
            distinct.join(", ")
        ),
    }
}
