//! Letter names with accidentals, without an octave.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use super::accidental;
use super::short::Short;
use super::{PitchClass, Unreadable};

/// One of the seven letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Letter {
    /// C
    C,
    /// D
    D,
    /// E
    E,
    /// F
    F,
    /// G
    G,
    /// A
    A,
    /// B
    B,
}

impl Letter {
    /// The letters upward from C.
    pub const ALL: [Self; 7] = [
        Self::C,
        Self::D,
        Self::E,
        Self::F,
        Self::G,
        Self::A,
        Self::B,
    ];

    /// The letters in the order in which a signature writes sharps, each a fifth above the one before;
    /// flats are written in the opposite order.
    pub const BY_FIFTHS: [Self; 7] = [
        Self::F,
        Self::C,
        Self::G,
        Self::D,
        Self::A,
        Self::E,
        Self::B,
    ];

    /// Semitones of the natural note above C.
    pub const fn semitones(self) -> i32 {
        match self {
            Self::C => 0,
            Self::D => 2,
            Self::E => 4,
            Self::F => 5,
            Self::G => 7,
            Self::A => 9,
            Self::B => 11,
        }
    }

    /// The letter for an upper-case character.
    pub fn from_char(c: char) -> Option<Self> {
        Self::ALL.into_iter().find(|l| l.to_char() == c)
    }

    /// The upper-case character.
    pub const fn to_char(self) -> char {
        match self {
            Self::C => 'C',
            Self::D => 'D',
            Self::E => 'E',
            Self::F => 'F',
            Self::G => 'G',
            Self::A => 'A',
            Self::B => 'B',
        }
    }

    const fn text(self) -> &'static str {
        match self {
            Self::C => "C",
            Self::D => "D",
            Self::E => "E",
            Self::F => "F",
            Self::G => "G",
            Self::A => "A",
            Self::B => "B",
        }
    }

    /// The letter `steps` places on, and how many times C was passed (negative downward).
    pub(super) const fn plus(self, steps: i32) -> (Self, i32) {
        let place = self as i32 + steps;
        (Self::ALL[place.rem_euclid(7) as usize], place.div_euclid(7))
    }
}

/// A note name: a letter and up to three flats or sharps.
///
/// ```
/// # use compline::pitch::Name;
/// let name: Name = "B♭".parse().unwrap();
/// assert_eq!(name.to_string(), "Bb");
/// assert_eq!(name.class().number(), 10);
/// assert!("H".parse::<Name>().is_err());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Name {
    letter: Letter,
    alter: i8,
}

impl Name {
    /// The name, or `None` with more than three accidentals.
    pub const fn new(letter: Letter, alter: i8) -> Option<Self> {
        if alter >= -accidental::MOST && alter <= accidental::MOST {
            Some(Self { letter, alter })
        } else {
            None
        }
    }

    /// How the trade writes a pitch when no chord or key explains it: C# and F#, but Eb, Ab and Bb (common
    /// practice, no source).
    ///
    /// ```
    /// # use compline::pitch::{Name, PitchClass};
    /// let usual = (0..12).map(|above_c| Name::usual(PitchClass::of(above_c)).to_string());
    /// assert_eq!(usual.collect::<Vec<_>>().join(" "), "C C# D Eb E F F# G Ab A Bb B");
    /// ```
    pub const fn usual(class: PitchClass) -> Self {
        let (letter, alter) = match class.number() {
            0 => (Letter::C, 0),
            1 => (Letter::C, 1),
            2 => (Letter::D, 0),
            3 => (Letter::E, -1),
            4 => (Letter::E, 0),
            5 => (Letter::F, 0),
            6 => (Letter::F, 1),
            7 => (Letter::G, 0),
            8 => (Letter::A, -1),
            9 => (Letter::A, 0),
            10 => (Letter::B, -1),
            _ => (Letter::B, 0),
        };
        Self { letter, alter }
    }

    /// The letter.
    pub const fn letter(self) -> Letter {
        self.letter
    }

    /// Semitones the accidentals add: -1 for a flat, 2 for a double sharp.
    pub const fn alter(self) -> i8 {
        self.alter
    }

    /// The pitch class this name sounds as.
    pub const fn class(self) -> PitchClass {
        PitchClass::of(self.letter.semitones() + self.alter as i32)
    }

    /// Its place on the line of fifths: C is 0, each fifth up one more; G is 1, F -1, F# 6, Gb -6.
    pub const fn fifths(self) -> i32 {
        let natural = match self.letter {
            Letter::F => -1,
            Letter::C => 0,
            Letter::G => 1,
            Letter::D => 2,
            Letter::A => 3,
            Letter::E => 4,
            Letter::B => 5,
        };
        natural + 7 * self.alter as i32
    }

    /// The name at a place on the line of [fifths](Self::fifths), or `None` with more than three accidentals.
    ///
    /// ```
    /// # use compline::pitch::Name;
    /// assert_eq!(Name::at_fifths(-7).unwrap().to_string(), "Cb");
    /// ```
    pub fn at_fifths(fifths: i32) -> Option<Self> {
        let above_f = fifths + 1;
        let letter = usize::try_from(above_f.rem_euclid(7)).ok()?;
        let alter = i8::try_from(above_f.div_euclid(7)).ok()?;
        Self::new(*Letter::BY_FIFTHS.get(letter)?, alter)
    }

    /// Splits a name off the front of `text`: upper-case letter, then accidentals.
    pub fn split(text: &str) -> Option<(Self, &str)> {
        let first = text.chars().next()?;
        let letter = Letter::from_char(first)?;
        let (alter, rest) = accidental::split(&text[first.len_utf8()..]);
        Some((Self { letter, alter }, rest))
    }

    pub(super) fn short(self) -> Short {
        let letter = Short::default().and(self.letter.text());
        letter.and(accidental::text(self.alter))
    }

    /// The same sound with at most one accidental: E## as F#, Cb as B, E# as F.
    ///
    /// Flats stay flats and sharps stay sharps where a black key is meant.
    pub fn simplest(self) -> Self {
        let sharpward = [0, 1, -1];
        let flatward = [0, -1, 1];
        let order = if self.alter < 0 { flatward } else { sharpward };
        order
            .into_iter()
            .flat_map(|alter| Letter::ALL.map(|letter| Self { letter, alter }))
            .find(|name| name.class() == self.class())
            .unwrap_or(self)
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.short().as_str())
    }
}

impl Serialize for Name {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.short().as_str())
    }
}

impl FromStr for Name {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        match Self::split(text) {
            Some((name, "")) => Ok(name),
            _ => Err(Unreadable::new("a note name such as C, F# or Bb", text)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn name(text: &str) -> Name {
        text.parse().unwrap()
    }

    #[test]
    fn simplest_keeps_black_keys_on_their_side() {
        for (from, to) in [
            ("E##", "F#"),
            ("Cb", "B"),
            ("Fb", "E"),
            ("Gb", "Gb"),
            ("F#", "F#"),
            ("Bbb", "A"),
            ("Ebb", "D"),
        ] {
            assert_eq!(name(from).simplest(), name(to), "{from}");
        }
    }

    #[test]
    fn a_name_is_read_whole_or_not_at_all() {
        for text in ["", "c", "H", "C4", "C#b", "Cbbbb"] {
            assert!(text.parse::<Name>().is_err(), "{text}");
        }
    }
}
