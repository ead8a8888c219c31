//! How notes are named where they are printed: by theory, or as a player reads them soonest.
//!
//! Theory names every degree by its letter over the root: the #9 of B7 is C##, the b5 of Bbdim7 is
//! Fb. At the keyboard a double sharp, or a white key by a black key's name, has to be worked out
//! first, so that the everyday name is usual on lead sheets, unless the key itself has such a note
//! (common practice, no source).

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use super::{Key, Mode, Name, Unreadable};

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
    /// give way to their everyday names. A note that the melody has is called as the melody calls it.
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
        if self == Self::Strict {
            return name;
        }
        let plain = name.alter() == 0 || name.alter().abs() == 1 && !is_white(name);
        let printed = match plain || key.of_key.has(name) {
            true => name,
            false => name.simplest(),
        };
        key.of_melody.of_sound(name).unwrap_or(printed)
    }

    /// The same of a note that has no one letter of its own, and goes by the name that the key has for its
    /// sound: a #9, which is read as the minor third it sounds like (Bb over G7 in Bb), and the tones of a
    /// diminished seventh chord (C# in Gdim7 in E). Common practice, no source.
    pub fn as_in_key(self, name: Name, key: KeyNames) -> Name {
        let own = key.of_key.of_sound(name);
        let name = own.filter(|_| self == Self::Practical).unwrap_or(name);
        self.name(name, key)
    }

    /// Whether a Cb, Fb, E# or B# keeps its name beside notes of these names after all: where its everyday one
    /// has the letter of another of them, and the melody has no other name for it. E3 Ab3 Cb4 Eb4 is read as
    /// a mistake, Fb3 Ab3 Cb4 Eb4 is not (common practice, no source).
    pub fn keeps_letter(self, name: Name, key: KeyNames, others: &[Name]) -> bool {
        takes(self.name(name, key), others) && self.may_keep_letter(name, key, others)
    }

    /// Whether a Cb, Fb, E# or B# may keep its name beside notes of these names: its letter is free, and the
    /// melody has no other name for it. Beside one that keeps its name all do: Fb3 Ab3 Cb4 Eb4, not B3.
    pub fn may_keep_letter(self, name: Name, key: KeyNames, others: &[Name]) -> bool {
        let single = name.alter().abs() == 1 && is_white(name);
        let sung = key.of_melody.of_sound(name).is_some();
        single && !sung && !takes(name, others)
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

/// The names a note has already where a chord stands: those of the key, and those of the melody.
///
/// A minor key has its raised sixth and seventh too: the B# of C# minor. Eb has the Cb of its minor
/// subdominant, which belongs to its backdoor dominant and the b9 of its V as well; the Fb of Ab is read as E.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct KeyNames {
    of_key: NameSet,
    of_melody: NameSet,
}

impl KeyNames {
    /// No key, and no melody.
    pub const NONE: Self = Self {
        of_key: NameSet(0),
        of_melody: NameSet(0),
    };

    /// Those of a key.
    pub fn of(key: Key) -> Self {
        let first = key.fifths() - 1;
        let scale = first..first + 7;
        let tonic = key.tonic().fifths();
        let more = match key.mode() {
            Mode::Minor => [Some(tonic + 3), Some(tonic + 5)],
            // The flat sixth, four fifths down, where it is Cb.
            Mode::Major => [
                Some(tonic - 4).filter(|flat_sixth| *flat_sixth == C_FLAT),
                None,
            ],
        };
        let names = scale.chain(more.into_iter().flatten());
        Self {
            of_key: NameSet::at(names),
            of_melody: NameSet::default(),
        }
    }

    /// The same under a melody whose notes are called so.
    ///
    /// ```
    /// # use compline::pitch::{KeyNames, Spelling};
    /// let sung = KeyNames::NONE.under(["Eb".parse().unwrap()]);
    /// let name = Spelling::Practical.name("D#".parse().unwrap(), sung);
    /// assert_eq!(name.to_string(), "Eb");
    /// ```
    pub fn under(self, melody: impl IntoIterator<Item = Name>) -> Self {
        Self {
            of_melody: melody.into_iter().collect(),
            ..self
        }
    }
}

/// Cb on the line of fifths.
const C_FLAT: i32 = -7;

/// Some names with at most one accidental: a bit for each, by fifths from Fb up to B#.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
struct NameSet(u32);

impl NameSet {
    /// Those at these places on the line of fifths that have no more than one accidental.
    fn at(fifths: impl Iterator<Item = i32>) -> Self {
        let bits = fifths.map(Self::bit);
        Self(bits.fold(0, |all, bit| all | bit))
    }

    fn has(self, name: Name) -> bool {
        Self::bit(name.fifths()) & self.0 != 0
    }

    /// The name itself if it is there, else another one of its sound.
    fn of_sound(self, name: Name) -> Option<Name> {
        // Most chords have no melody over them, and every note of every voicing asks.
        if self.0 == 0 {
            return None;
        }
        if self.has(name) {
            return Some(name);
        }
        // Names of one sound lie twelve fifths apart.
        let lowest = (name.fifths() + 8).rem_euclid(12) - 8;
        let same = [lowest, lowest + 12].into_iter();
        let there = same.filter(|fifths| self.0 & Self::bit(*fifths) != 0);
        there
            .filter_map(Name::at_fifths)
            .min_by_key(|name| name.letter())
    }

    /// Fb lies eight fifths below C, B# twelve above it; what lies beyond has two accidentals or more.
    const fn bit(fifths: i32) -> u32 {
        match fifths {
            -8..=12 => 1 << (fifths + 8),
            _ => 0,
        }
    }
}

impl FromIterator<Name> for NameSet {
    fn from_iter<I: IntoIterator<Item = Name>>(names: I) -> Self {
        Self::at(names.into_iter().map(Name::fifths))
    }
}

/// Whether one of these names has the letter of `name`.
fn takes(name: Name, others: &[Name]) -> bool {
    others.iter().any(|other| other.letter() == name.letter())
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
            ("Cb", "Eb", "Cb"),
            ("Fb", "Ab", "E"),
            ("Fb", "Gb", "E"),
            ("Fb", "Cb", "Fb"),
            ("F##", "G#m", "G"),
            ("Gb", "C", "Gb"),
        ] {
            assert_eq!(practical(name, key), printed, "{name} in {key}");
        }
    }

    #[test]
    fn a_note_of_the_melody_has_one_name_in_both_hands() {
        for (name, key, melody, printed) in [
            ("Cb", "Eb", "Cb", "Cb"),
            ("Cb", "Eb", "B", "B"),
            ("D#", "Eb", "Eb", "Eb"),
            ("C##", "E", "D", "D"),
            ("A#", "B", "C", "A#"),
        ] {
            let key = KeyNames::of(key.parse().unwrap());
            let sung = key.under([melody.parse().unwrap()]);
            let name: Name = name.parse().unwrap();
            assert_eq!(Spelling::Practical.name(name, sung).to_string(), printed);
            assert_eq!(Spelling::Strict.name(name, sung), name);
        }
    }

    #[test]
    fn a_sharp_ninth_is_read_as_the_minor_third_of_a_key_that_has_it() {
        for (name, key, printed) in [
            ("A#", "Bb", "Bb"),
            ("C#", "Ebm", "Db"),
            ("F##", "Am", "G"),
            ("A#", "B", "A#"),
            ("D#", "C", "D#"),
        ] {
            let key = KeyNames::of(key.parse().unwrap());
            let name: Name = name.parse().unwrap();
            assert_eq!(
                Spelling::Practical.as_in_key(name, key).to_string(),
                printed
            );
            assert_eq!(Spelling::Strict.as_in_key(name, key), name);
        }
    }

    #[test]
    fn no_letter_stands_twice_in_a_chord_for_an_everyday_name() {
        for (name, key, others, keeps) in [
            ("Fb", "Gb", "Ab Cb Eb", true),
            ("Cb", "Db", "F Bb Eb", true),
            ("Fb", "Gb", "G Bb Db", false),
            // Two of a letter either way, a double sharp, and a black key.
            ("Fb", "Gb", "Eb F", false),
            ("C##", "E", "D# A", false),
            ("A#", "Bb", "B F", false),
        ] {
            let others: Vec<Name> = others
                .split(' ')
                .map(|name| name.parse().unwrap())
                .collect();
            let names = KeyNames::of(key.parse().unwrap());
            let name: Name = name.parse().unwrap();
            let found = Spelling::Practical.keeps_letter(name, names, &others);
            assert_eq!(found, keeps, "{name} in {key}");
            assert!(!Spelling::Strict.keeps_letter(name, names, &others));
        }
        let sung = KeyNames::NONE.under(["E".parse().unwrap()]);
        let others = ["Eb".parse().unwrap()];
        assert!(!Spelling::Practical.keeps_letter("Fb".parse().unwrap(), sung, &others));
    }

    #[test]
    fn the_words_are_read_as_they_are_printed() {
        for spelling in Spelling::ALL {
            assert_eq!(spelling.to_string().parse(), Ok(spelling));
        }
        assert!("loose".parse::<Spelling>().is_err());
    }
}
