//! How notes are named where they are printed: by theory, or as a player reads them soonest.
//!
//! Theory names every degree by its letter over the root: the #9 of B7 is C##, the b5 of Bbdim7 is
//! Fb. At the keyboard a double sharp, or a white key by a black key's name, has to be worked out
//! first, so that the everyday name is usual on lead sheets, unless the key itself has such a note
//! (common practice, no source).

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use super::{Degree, Key, Letter, Mode, Name, Unreadable};

/// By which rule the notes of chords are named.
///
/// ```
/// # use compline::pitch::{KeyNames, Spelling};
/// let name = "C##".parse().unwrap();
/// let none = KeyNames::default();
/// assert_eq!(Spelling::Practical.name(name, none).to_string(), "D");
/// assert_eq!(Spelling::Strict.name(name, none).to_string(), "C##");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Spelling {
    /// By theory, but double sharps and flats, and an E#, B#, Cb or Fb that the key doesn't have,
    /// give way to their everyday names.
    #[default]
    Practical,
    /// By theory: every degree has its own letter.
    Strict,
}

impl Spelling {
    /// Every way of spelling.
    pub const ALL: [Self; 2] = [Self::Practical, Self::Strict];

    /// What a note that theory calls `name` is called in a key that has these names of its own.
    pub fn name(self, name: Name, key: KeyNames) -> Name {
        let plain = name.alter() == 0 || name.alter().abs() == 1 && !is_white(name);
        if self == Self::Strict || plain || key.has(name) {
            name
        } else {
            name.simplest()
        }
    }

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Practical => "practical",
            Self::Strict => "strict",
        }
    }
}

impl fmt::Display for Spelling {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl FromStr for Spelling {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let mut all = Self::ALL.into_iter();
        let known = all.find(|spelling| spelling.word().eq_ignore_ascii_case(text));
        known.ok_or_else(|| Unreadable::new("practical or strict", text))
    }
}

impl Serialize for Spelling {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

/// Which of the names E#, B#, Cb and Fb are notes of a key.
///
/// A minor key has its raised sixth and seventh too: the B# of C# minor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct KeyNames {
    e_sharp: bool,
    b_sharp: bool,
    c_flat: bool,
    f_flat: bool,
}

impl KeyNames {
    /// None of them, as in C.
    pub const NONE: Self = Self {
        e_sharp: false,
        b_sharp: false,
        c_flat: false,
        f_flat: false,
    };

    /// Those of a key.
    pub fn of(key: Key) -> Self {
        let raised = |number| {
            let degree = Degree::new(number, 0).filter(|_| key.mode() == Mode::Minor);
            degree.and_then(|degree| degree.above(key.tonic()))
        };
        let (sixth, seventh) = (raised(6), raised(7));
        let is_raised = |letter| {
            let sharp = Name::new(letter, 1);
            sharp.is_some() && (sharp == sixth || sharp == seventh)
        };
        let fifths = key.fifths();
        Self {
            e_sharp: fifths >= 6 || is_raised(Letter::E),
            b_sharp: fifths >= 7 || is_raised(Letter::B),
            c_flat: fifths <= -6,
            f_flat: fifths <= -7,
        }
    }

    fn has(self, name: Name) -> bool {
        match (name.letter(), name.alter()) {
            (Letter::E, 1) => self.e_sharp,
            (Letter::B, 1) => self.b_sharp,
            (Letter::C, -1) => self.c_flat,
            (Letter::F, -1) => self.f_flat,
            _ => false,
        }
    }
}

/// Whether a name with an accidental sounds as a white key.
fn is_white(name: Name) -> bool {
    name.simplest().alter() == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn practical(name: &str, key: &str) -> String {
        let key = KeyNames::of(key.parse().unwrap());
        Spelling::Practical
            .name(name.parse().unwrap(), key)
            .to_string()
    }

    #[test]
    fn a_white_key_has_its_everyday_name_unless_the_key_has_another() {
        for (name, key, printed) in [
            ("C##", "E", "D"),
            ("Bbb", "Gb", "A"),
            ("F##", "C#", "G"),
            ("E#", "B", "F"),
            ("E#", "F#", "E#"),
            ("E#", "F#m", "E#"),
            ("B#", "C#m", "B#"),
            ("B#", "E", "C"),
            ("A#", "C#m", "A#"),
            ("Cb", "Db", "B"),
            ("Cb", "Gb", "Cb"),
            ("Cb", "Abm", "Cb"),
            ("Fb", "Gb", "E"),
            ("Fb", "Cb", "Fb"),
            ("F##", "G#m", "G"),
            ("Gb", "C", "Gb"),
        ] {
            assert_eq!(practical(name, key), printed, "{name} in {key}");
        }
    }

    #[test]
    fn the_words_are_read_as_they_are_printed() {
        for spelling in Spelling::ALL {
            assert_eq!(spelling.to_string().parse(), Ok(spelling));
        }
        assert!("loose".parse::<Spelling>().is_err());
    }
}
