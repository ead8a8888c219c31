//! Chord symbols from MusicXML.

use std::collections::BTreeMap;

use super::kind::{self, DegreeChange, DegreeType, KindReading};
use super::tree::Element;
use crate::chord::{Chord, Symbol};
use crate::formats::report::{Loss, OTHER_TEXT, SIMPLER_CHORDS};
use crate::formats::song::key_of_signature;
use crate::pitch::{Degree, Key, Letter, Mode, Name};

/// What a kind with its text and changes was read as, so that each is worked out once.
pub(super) type KnownKinds = BTreeMap<(String, String, Vec<(DegreeChange, bool)>), KindReading>;

/// The text of a chord symbol, and what of it could not be carried over. `None` where there is no root
/// to build on.
pub(super) fn symbol(
    harmony: Element<'_>,
    key: Option<Key>,
    known: &mut KnownKinds,
) -> Option<(String, Option<&'static Loss>)> {
    let mut groups: Vec<(String, Option<&'static Loss>)> = Vec::new();
    let children: Vec<Element<'_>> = harmony.children().collect();
    let mut behind = children.as_slice();
    for part in children.split_inclusive(|child| child.name() == "kind") {
        let Some(kind) = part.last().filter(|last| last.name() == "kind") else {
            break;
        };
        if kind.text().trim() == "none" {
            return Some(("N.C.".to_owned(), None));
        }
        behind = behind.get(part.len()..).unwrap_or_default();
        let root = root(part, key)?;
        groups.push(one(root, *kind, up_to_root(behind), known));
    }
    let lower = groups.pop()?;
    match groups.pop() {
        Some(upper) => {
            let both = format!("{}//{}", upper.0, lower.0);
            let loss = upper.1.or(lower.1);
            match Symbol::read(&both) {
                Ok(_) => Some((both, loss)),
                Err(_) => Some((lower.0, Some(SIMPLER_CHORDS))),
            }
        }
        None => Some(lower),
    }
}

/// What stands behind a kind, up to the next chord.
fn up_to_root<'s, 't>(behind: &'s [Element<'t>]) -> &'s [Element<'t>] {
    let is_root = |child: &Element<'_>| matches!(child.name(), "root" | "numeral" | "function");
    let end = behind.iter().position(is_root);
    behind
        .get(..end.unwrap_or(behind.len()))
        .unwrap_or_default()
}

fn one(
    root: Name,
    kind: Element<'_>,
    behind: &[Element<'_>],
    known: &mut KnownKinds,
) -> (String, Option<&'static Loss>) {
    let changes: Vec<(DegreeChange, bool)> = behind
        .iter()
        .filter(|child| child.name() == "degree")
        .filter_map(|degree| Some((change(*degree)?, !degree.says("print-object", "no"))))
        .collect();
    let text = kind.attribute("text").unwrap_or_default();
    let entry = (kind.text().trim().to_owned(), text.into_owned(), changes);
    let reading = known
        .entry(entry)
        .or_insert_with_key(|(kind, text, changes)| kind::read(kind, Some(text.as_str()), changes));
    let loss = match (reading.simpler, reading.other_text) {
        (true, _) => Some(SIMPLER_CHORDS),
        (false, true) => Some(OTHER_TEXT),
        (false, false) => None,
    };
    let bass = behind.iter().find(|child| child.name() == "bass");
    let bass = bass.and_then(|bass| name(*bass, "bass"));
    let plain = format!("{root}{}", reading.ending);
    let inversion = behind.iter().find(|child| child.name() == "inversion");
    let bass = bass.or_else(|| inverted(&plain, inversion?.text().trim().parse().ok()?));
    match bass.filter(|bass| *bass != root) {
        Some(bass) => {
            let slashed = format!("{plain}/{bass}");
            match Symbol::read(&slashed) {
                Ok(_) => (slashed, loss),
                Err(_) => (plain, Some(SIMPLER_CHORDS)),
            }
        }
        None => (plain, loss),
    }
}

/// The lowest note of an inversion: the third, the fifth or the seventh.
fn inverted(symbol: &str, inversion: u8) -> Option<Name> {
    let chord = Chord::read(symbol).ok()?;
    let degree = match inversion {
        1 => chord.third(),
        2 => chord.fifth(),
        3 => chord.seventh(),
        _ => None,
    };
    degree?.above(chord.root())
}

fn root(part: &[Element<'_>], key: Option<Key>) -> Option<Name> {
    let of = |wanted: &str| part.iter().rev().find(|child| child.name() == wanted);
    match (of("root"), of("numeral")) {
        (Some(root), _) => name(*root, "root"),
        (None, Some(numeral)) => degree_of_key(*numeral, key),
        (None, None) => None,
    }
}

fn name(element: Element<'_>, what: &str) -> Option<Name> {
    let step = element.text_of(&format!("{what}-step"))?.chars().next()?;
    let alter: i8 = element.number(&format!("{what}-alter")).unwrap_or(0);
    Name::new(Letter::from_char(step)?, alter)
}

/// A root that is given by its place in the key: the one it names, else the one in force.
fn degree_of_key(numeral: Element<'_>, key: Option<Key>) -> Option<Name> {
    let own = numeral.child("numeral-key").and_then(|own| {
        let mode = own.text_of("numeral-mode").unwrap_or("major");
        let mode = if mode.contains("minor") {
            "minor"
        } else {
            mode
        };
        key_of_signature(own.number("numeral-fifths")?, mode)
    });
    let key = own.map(|(key, _)| key).or(key)?;
    let number: u8 = numeral.number("numeral-root")?;
    let alter: i8 = numeral.number("numeral-alter").unwrap_or(0);
    let flat = key.mode() == Mode::Minor && matches!(number, 3 | 6 | 7);
    Degree::new(number, alter - i8::from(flat))?.above(key.tonic())
}

fn change(degree: Element<'_>) -> Option<DegreeChange> {
    let how = match degree.text_of("degree-type")? {
        "add" => DegreeType::Add,
        "alter" => DegreeType::Alter,
        "subtract" => DegreeType::Subtract,
        _ => return None,
    };
    Some(DegreeChange {
        how,
        number: degree.number("degree-value")?,
        alter: degree.number("degree-alter").unwrap_or(0),
    })
}
