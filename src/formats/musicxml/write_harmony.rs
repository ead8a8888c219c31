//! Chord symbols in MusicXML.

use super::kind::{self, DegreeChange, DegreeType};
use super::write_notes::PartContext;
use super::xml::Xml;
use crate::chord::{Chord, Symbol};
use crate::pitch::Name;

/// A chord symbol at the place the part has come to. The kind says what it means, its `text` how it is
/// printed; degrees that the text has already are not printed again.
pub(super) fn harmony(symbol: &Symbol, pen: PartContext, xml: &mut Xml) {
    xml.within("harmony", &[("placement", "above")], |xml| {
        match symbol.chord() {
            None => {
                xml.within("root", &[], |xml| {
                    xml.leaf("root-step", &[("text", "")], "C")
                });
                xml.leaf("kind", &[("text", "N.C.")], "none");
            }
            Some(chord) => chord_over_chord(chord, xml),
        }
        pen.staff(1, xml);
    });
}

/// A polychord is two chords, the upper one first.
fn chord_over_chord(chord: &Chord, xml: &mut Xml) {
    let parts = chord.symbol().split_once("//");
    let read = |text: &str| Chord::read(text.trim()).ok();
    match parts.and_then(|(upper, lower)| read(upper).zip(read(lower))) {
        Some((upper, lower)) => {
            one(&upper, xml);
            one(&lower, xml);
        }
        None => one(chord, xml),
    }
}

fn one(chord: &Chord, xml: &mut Xml) {
    let kinded = kind::of(chord);
    xml.within("root", &[], |xml| name("root", chord.root(), xml));
    xml.leaf("kind", &[("text", &ending(chord))], &kinded.kind);
    if let Some(bass) = chord.bass() {
        xml.within("bass", &[], |xml| name("bass", bass, xml));
    }
    for change in kinded.changes {
        degree(change, xml);
    }
}

fn name(what: &str, name: Name, xml: &mut Xml) {
    let letter = name.letter().to_char().to_string();
    xml.leaf(&format!("{what}-step"), &[], &letter);
    if name.alter() != 0 {
        xml.number(&format!("{what}-alter"), name.alter());
    }
}

/// What stands behind the root and before the bass. A symbol in brackets is written without them.
fn ending(chord: &Chord) -> String {
    let symbol = chord.symbol().trim();
    let bare = symbol
        .strip_prefix('(')
        .and_then(|rest| rest.strip_suffix(')'));
    let symbol = bare
        .filter(|bare| Chord::read(bare).is_ok())
        .unwrap_or(symbol);
    let rest = Name::split(symbol).map_or(symbol, |(_, rest)| rest);
    let body = chord.bass().and_then(|_| rest.rsplit_once('/'));
    body.map_or(rest, |(body, _)| body).trim().to_owned()
}

fn degree(change: DegreeChange, xml: &mut Xml) {
    let how = match change.how {
        DegreeType::Add => "add",
        DegreeType::Alter => "alter",
        DegreeType::Subtract => "subtract",
    };
    xml.within("degree", &[("print-object", "no")], |xml| {
        xml.number("degree-value", change.number);
        xml.number("degree-alter", change.alter);
        xml.leaf("degree-type", &[], how);
    });
}
