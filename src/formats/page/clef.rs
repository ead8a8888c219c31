//! Clefs: where a note stands on a staff, and the signatures in front of it.

use super::drawing::Length;
use super::pen::{PagePen, width};
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

    /// Draws a key signature of so many fifths; gives its width.
    pub fn signature(self, pen: &mut PagePen, fifths: i32, x: Length, top: Length) -> Length {
        /// Positions of the sharps and flats on the treble staff, in the order they are written in.
        const SHARPS: [i32; 7] = [4, 1, 5, 2, -1, 3, 0];
        const FLATS: [i32; 7] = [0, 3, -1, 2, -2, 1, -3];
        let (name, positions) = if fifths > 0 {
            ("accidentalSharp", SHARPS)
        } else {
            ("accidentalFlat", FLATS)
        };
        let lower = if self == Clef::Bass { 2 } else { 0 };
        let each = width(name) + 60;
        let count = fifths.unsigned_abs() as usize;
        for (place, position) in (0..).zip(positions.iter().take(count)) {
            pen.sign(
                name,
                x + place * each,
                top + 2000 - (position - lower) * 500,
            );
        }
        fifths.abs() * each
    }
}

/// How wide a key signature is.
pub(super) fn signature_width(fifths: i32) -> Length {
    fifths.abs()
        * (width(if fifths > 0 {
            "accidentalSharp"
        } else {
            "accidentalFlat"
        }) + 60)
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

    #[test]
    fn bass_signatures_lie_a_space_lower() {
        let tops = |clef: Clef| {
            let mut pen = PagePen::default();
            clef.signature(&mut pen, -3, 0, 0);
            pen.marks
        };
        let (treble, bass) = (tops(Clef::Treble), tops(Clef::Bass));
        assert_eq!((treble.len(), bass.len()), (3, 3));
        assert_ne!(treble, bass);
    }
}
