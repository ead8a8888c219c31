//! Decorations, between exclamation marks or, in old books, between plus signs.

use crate::chart::Jump;
use crate::formats::song::jump_of_words;

/// The jump that a decoration is.
pub(super) fn jump_of_decoration(name: &str) -> Option<Jump> {
    let words = match name.to_ascii_lowercase().as_str() {
        "dacapo" => "d.c.".to_owned(),
        "dacoda" => "to coda".to_owned(),
        "d.c.alcoda" | "d.c.alfine" | "d.s.alcoda" | "d.s.alfine" => {
            name.to_ascii_lowercase().replace("al", " al ")
        }
        name => name.to_owned(),
    };
    jump_of_words(&words)
}

/// Whether a text is several notes, and no dynamic mark such as `ff`.
pub(super) fn are_notes(text: &str) -> bool {
    let is_note = |c: &char| matches!(c, 'A'..='G' | 'a'..='g');
    let only_notes = text
        .chars()
        .all(|c| is_note(&c) || "^_=,'/0123456789".contains(c));
    let mut letters = text.chars().filter(is_note);
    let first = letters.next();
    only_notes && letters.any(|other| Some(other) != first)
}
