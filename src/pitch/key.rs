//! Keys: a tonic and a mode.

use std::fmt;
use std::str::FromStr;

use super::{Degree, Interval, Letter, Name, PitchClass, Unreadable};

/// Major or minor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Mode {
    /// Major
    Major,
    /// Minor
    Minor,
}

/// A key as a chart's `key:` line gives it: `Eb`, `F#m`, `C minor`.
///
/// ```
/// # use compline::pitch::{Key, Mode};
/// let key: Key = "F# minor".parse().unwrap();
/// assert_eq!((key.mode(), key.to_string().as_str()), (Mode::Minor, "F#m"));
/// assert_eq!("Eb".parse::<Key>().unwrap().fifths(), -3);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Key {
    tonic: Name,
    mode: Mode,
}

impl Key {
    /// The key, or `None` when no such key signature exists (more than seven accidentals).
    pub fn new(tonic: Name, mode: Mode) -> Option<Self> {
        let key = Self { tonic, mode };
        (-7..=7).contains(&key.fifths()).then_some(key)
    }

    /// The key on this pitch class as it is usually written: with the fewest accidentals, and flats where
    /// sharps are as many (Gb, Ebm; common practice, no source).
    pub fn usual(tonic: PitchClass, mode: Mode) -> Option<Self> {
        let names = [0, -1, 1].map(|alter| Letter::ALL.map(|letter| Name::new(letter, alter)));
        let names = names.into_iter().flatten().flatten();
        let same = names.filter(|name| name.class() == tonic);
        let keys = same.filter_map(|name| Self::new(name, mode));
        keys.min_by_key(|key| (key.fifths().abs(), key.fifths() > 0))
    }

    /// The tonic.
    pub const fn tonic(self) -> Name {
        self.tonic
    }

    /// Major or minor.
    pub const fn mode(self) -> Mode {
        self.mode
    }

    /// The key signature: sharps, or flats as a negative number.
    pub const fn fifths(self) -> i32 {
        let minor = match self.mode {
            Mode::Major => 0,
            Mode::Minor => -3,
        };
        self.tonic.fifths() + minor
    }

    /// The key an interval away, with the tonic respelled where no such key signature exists.
    pub fn plus(self, interval: Interval) -> Option<Self> {
        let tonic = self.tonic.plus(interval)?;
        Self::new(tonic, self.mode).or_else(|| Self::new(tonic.simplest(), self.mode))
    }

    /// How a musician of this key names a pitch class that no chord explains: with the notes of
    /// the key first, then the nearest accidental on the side of its signature.
    pub fn name_of(self, class: PitchClass) -> Name {
        let flat_side = self.fifths() < 0;
        self.scale()
            .into_iter()
            .chain(chromatic(flat_side))
            .find(|name| name.class() == class)
            .unwrap_or(self.tonic)
    }

    /// The seven notes of the key, from its tonic; a minor key has its natural sixth and seventh.
    pub(super) fn scale(self) -> Vec<Name> {
        let alters: [i8; 7] = match self.mode {
            Mode::Major => [0; 7],
            Mode::Minor => [0, 0, -1, 0, 0, -1, -1],
        };
        (1..)
            .zip(alters)
            .filter_map(|(number, alter)| Degree::new(number, alter)?.above(self.tonic))
            .collect()
    }
}

fn chromatic(flat_side: bool) -> impl Iterator<Item = Name> {
    let black = if flat_side { -1 } else { 1 };
    [0, black].into_iter().flat_map(|alter| {
        Letter::ALL
            .into_iter()
            .filter_map(move |l| Name::new(l, alter))
    })
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mode = match self.mode {
            Mode::Major => "",
            Mode::Minor => "m",
        };
        write!(f, "{}{mode}", self.tonic)
    }
}

impl FromStr for Key {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let unreadable = || Unreadable::new("a key such as Eb, F#m or C minor", text);
        let (tonic, rest) = Name::split(text.trim()).ok_or_else(unreadable)?;
        let mode = match rest.trim().to_lowercase().as_str() {
            "" | "major" | "maj" => Mode::Major,
            "m" | "-" | "min" | "minor" => Mode::Minor,
            _ => return Err(unreadable()),
        };
        Self::new(tonic, mode).ok_or_else(unreadable)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signatures_run_round_the_circle() {
        for (text, fifths) in [
            ("C", 0),
            ("Cb", -7),
            ("C#", 7),
            ("Am", 0),
            ("Ebm", -6),
            ("G#m", 5),
        ] {
            assert_eq!(text.parse::<Key>().unwrap().fifths(), fifths, "{text}");
        }
        for text in ["H", "", "Fb", "G# major", "Cx", "C dorian"] {
            assert!(text.parse::<Key>().is_err(), "{text}");
        }
    }

    #[test]
    fn impossible_signatures_are_respelled() {
        let key: Key = "B".parse().unwrap();
        let up = Interval::between("C".parse().unwrap(), "F#".parse().unwrap());
        assert_eq!(key.plus(up).unwrap().to_string(), "F");
    }

    #[test]
    fn every_class_has_a_key_of_either_mode() {
        for class in 0..12 {
            for mode in [Mode::Major, Mode::Minor] {
                let key = Key::usual(PitchClass::of(class), mode).unwrap();
                assert_eq!(key.tonic().class(), PitchClass::of(class));
            }
        }
    }

    #[test]
    fn foreign_notes_take_the_side_of_the_signature() {
        let in_key = |key: &str, class| key.parse::<Key>().unwrap().name_of(PitchClass::of(class));
        assert_eq!(in_key("Eb", 8).to_string(), "Ab");
        assert_eq!(in_key("E", 8).to_string(), "G#");
        assert_eq!(in_key("Gb", 11).to_string(), "Cb");
        assert_eq!(in_key("F", 6).to_string(), "Gb");
    }
}
