//! Clefs: where a note stands on a staff.

use super::drawing::Length;
use super::pen::PagePen;
use crate::pitch::{Letter, Note};

/// A clef.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Clef {
    /// G4 on the second line from below.
    Treble,
    /// F3 on the fourth line from below.
    Bass,
}

impl Clef {
    /// The clef of a left hand: bass, unless treble needs less than half the ledger lines.
    pub fn of_hand(notes: impl Iterator<Item = Note> + Clone) -> Self {
        let ledgers = |clef: Clef| -> i32 {
            let beyond = notes.clone().map(|note| clef.position(note).abs() - 4);
            beyond.map(|beyond| beyond.max(0) / 2).sum()
        };
        match ledgers(Clef::Treble) * 2 < ledgers(Clef::Bass) {
            true => Clef::Treble,
            false => Clef::Bass,
        }
    }

    /// How many lines and spaces a note lies above the middle line of the staff.
    pub fn position(self, note: Note) -> i32 {
        let middle = match self {
            Clef::Treble => steps(Letter::B, 4),
            Clef::Bass => steps(Letter::D, 3),
        };
        steps(note.name().letter(), note.octave()) - middle
    }

    /// Draws the clef in front of a staff whose upper line is at `top`.
    pub fn draw(self, pen: &mut PagePen, x: Length, top: Length) {
        match self {
            Clef::Treble => pen.sign("gClef", x, top + 3000),
            Clef::Bass => pen.sign("fClef", x, top + 1000),
        }
    }
}

fn steps(letter: Letter, octave: i32) -> i32 {
    let place = Letter::ALL
        .iter()
        .position(|one| *one == letter)
        .unwrap_or(0);
    octave * 7 + place as i32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hand_stands_where_it_needs_few_ledger_lines() {
        let clef = |notes: &str| {
            let notes: Vec<Note> = notes.split(' ').map(|note| note.parse().unwrap()).collect();
            Clef::of_hand(notes.into_iter())
        };
        assert_eq!(clef("F3 A3 C4 E4"), Clef::Bass);
        assert_eq!(clef("C4 E4 F4 A4"), Clef::Treble);
        assert_eq!(clef("D3"), Clef::Bass);
    }

    #[test]
    fn the_middle_lines_and_middle_c() {
        let position = |clef: Clef, note: &str| clef.position(note.parse().unwrap());
        assert_eq!(position(Clef::Treble, "B4"), 0);
        assert_eq!(position(Clef::Bass, "D3"), 0);
        assert_eq!(
            (position(Clef::Treble, "C4"), position(Clef::Bass, "C4")),
            (-6, 6)
        );
        assert_eq!(position(Clef::Bass, "Cb4"), 6);
    }
}
