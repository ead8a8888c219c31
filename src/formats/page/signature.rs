//! Key signatures.
//!
//! Where the key changes, the new signature stands alone; only C major and A minor, which have none, are shown
//! by naturals in place of the old one (common practice of engraving today, no source).

use super::clef::Clef;
use super::drawing::Length;
use super::pen::{PagePen, width};

/// A key signature as it is printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct KeySignature {
    /// Sharps, or flats as a negative number.
    fifths: i32,
    /// Whether these are taken back by naturals.
    naturals: bool,
}

/// Room behind a signature inside a line.
const GAP: Length = 700;

impl KeySignature {
    /// The signature of a key.
    pub const fn of(fifths: i32) -> Self {
        Self {
            fifths,
            naturals: false,
        }
    }

    /// What is printed where a key follows another.
    pub const fn between(before: i32, fifths: i32) -> Self {
        match fifths {
            0 => Self {
                fifths: before,
                naturals: true,
            },
            _ => Self::of(fifths),
        }
    }

    const fn sign(self) -> &'static str {
        match self.fifths {
            _ if self.naturals => "accidentalNatural",
            1.. => "accidentalSharp",
            _ => "accidentalFlat",
        }
    }

    fn each(self) -> Length {
        width(self.sign()) + if self.naturals { 220 } else { 60 }
    }

    /// How wide it is.
    pub fn width(self) -> Length {
        self.fifths.abs() * self.each()
    }

    /// How wide it is inside a line, with the room behind it.
    pub fn room(self) -> Length {
        self.width() + GAP
    }

    /// Draws it on a staff whose upper line is at `top`.
    pub fn draw(self, pen: &mut PagePen, clef: Clef, x: Length, top: Length) {
        /// Positions of the sharps and flats on the treble staff, in the order they are written in.
        const SHARPS: [i32; 7] = [4, 1, 5, 2, -1, 3, 0];
        const FLATS: [i32; 7] = [0, 3, -1, 2, -2, 1, -3];
        let positions = if self.fifths > 0 { SHARPS } else { FLATS };
        let lower = if clef == Clef::Bass { 2 } else { 0 };
        let count = self.fifths.unsigned_abs() as usize;
        for (place, position) in (0..).zip(positions.iter().take(count)) {
            let y = top + 2000 - (position - lower) * 500;
            pen.sign(self.sign(), x + place * self.each(), y);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bass_signatures_lie_a_space_lower() {
        let marks = |clef: Clef| {
            let mut pen = PagePen::default();
            KeySignature::of(-3).draw(&mut pen, clef, 0, 0);
            pen.marks
        };
        let (treble, bass) = (marks(Clef::Treble), marks(Clef::Bass));
        assert_eq!((treble.len(), bass.len()), (3, 3));
        assert_ne!(treble, bass);
    }

    #[test]
    fn only_no_signature_is_shown_by_naturals() {
        let naturals = KeySignature::between(-4, 0);
        assert_eq!(
            (naturals.sign(), naturals.fifths),
            ("accidentalNatural", -4)
        );
        assert_eq!(KeySignature::between(-4, 2), KeySignature::of(2));
        assert_eq!(KeySignature::between(0, 0).width(), 0);
    }
}
