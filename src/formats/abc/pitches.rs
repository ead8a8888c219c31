//! Notes as ABC writes them, and the accidentals in force.

use std::collections::BTreeMap;

use num_rational::Ratio;

use super::accidental::alteration;
use super::length::length;
use crate::pitch::{Letter, Name, Note};

/// What a letter without an accidental means.
pub(super) struct Pitches {
    /// What the key alters.
    key: BTreeMap<Letter, i8>,
    /// Accidentals in force to the end of the bar.
    altered: BTreeMap<Letter, i8>,
}

/// Notes struck together.
pub(super) struct NotesTogether {
    pub notes: Vec<Note>,
    /// The length behind the first of them, in units; 1 where there is none.
    pub length: Ratio<i64>,
}

impl Pitches {
    pub(super) fn in_key(key: BTreeMap<Letter, i8>) -> Self {
        let altered = BTreeMap::new();
        Self { key, altered }
    }

    /// The key changes; accidentals of the bar stay in force.
    pub(super) fn change_key(&mut self, key: BTreeMap<Letter, i8>) {
        self.key = key;
    }

    /// The accidentals of the bar end with it.
    pub(super) fn end_bar(&mut self) {
        self.altered.clear();
    }

    /// The note that a text begins with: accidental, letter, octave. Gives back what follows.
    pub(super) fn note<'a>(&mut self, text: &'a str) -> Option<(Note, &'a str)> {
        let rest = text.trim_start_matches(['^', '_', '=']);
        let sign = text.get(..text.len() - rest.len())?;
        let letter = rest.chars().next()?;
        let upper = Letter::from_char(letter.to_ascii_uppercase())?;
        let behind = rest.get(1..)?;
        let rest = behind.trim_start_matches(['\'', ',']);
        let marks = behind.get(..behind.len() - rest.len())?;
        let up = i32::try_from(marks.matches('\'').count()).ok()?;
        let down = i32::try_from(marks.matches(',').count()).ok()?;
        let alter = match sign {
            "" => self.altered.get(&upper).or(self.key.get(&upper)).copied(),
            sign => alteration(sign),
        };
        if !sign.is_empty() {
            self.altered.insert(upper, alter.unwrap_or(0));
        }
        let name = Name::new(upper, alter.unwrap_or(0))?;
        // C is middle C, c the octave above.
        let octave = 4 + i32::from(letter.is_ascii_lowercase()) + up - down;
        let note = Note::new(name, octave);
        note.pitch().map(|_| (note, rest))
    }

    /// The notes of a text; what is none is passed over.
    pub(super) fn struck(&mut self, text: &str) -> NotesTogether {
        let mut notes = Vec::new();
        let mut rest = text;
        let mut first = None;
        while let Some(c) = rest.chars().next() {
            let next = rest.get(c.len_utf8()..).unwrap_or_default();
            rest = match self.note(rest) {
                Some((note, behind)) => {
                    let (long, behind) = length(behind);
                    first = first.or(Some(long));
                    notes.push(note);
                    behind
                }
                None => next,
            };
        }
        let length = first.unwrap_or(Ratio::from(1));
        NotesTogether { notes, length }
    }
}
