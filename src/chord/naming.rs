//! What the degrees of a chord are called where they are printed.

use super::{Chord, Family};
use crate::pitch::{Degree, Key, KeyNames, Mode, Name, PitchClass, Spelling};

impl Chord {
    /// The name of a degree as it is printed in a key with these names of its own. The root keeps
    /// the name the symbol has.
    ///
    /// ```
    /// # use compline::chord::Chord;
    /// # use compline::pitch::{Degree, KeyNames, Spelling};
    /// let chord = Chord::read("B7#9").unwrap();
    /// let name = chord.name(Degree::SHARP_NINTH, Spelling::Practical, KeyNames::NONE);
    /// assert_eq!(name.to_string(), "D");
    /// ```
    pub fn name(&self, degree: Degree, spelling: Spelling, key: KeyNames) -> Name {
        match degree {
            _ if degree.number() == 1 => self.root,
            _ if degree == Degree::SHARP_NINTH || self.family() == Family::Diminished => {
                spelling.as_in_key(self.spell(degree), key)
            }
            _ => spelling.name(self.spell(degree), key),
        }
    }

    /// The names of its own that the key on the chord's root has, for a chord that stands alone.
    pub fn key_names(&self) -> KeyNames {
        let mode = match self.third() {
            Some(Degree::MINOR_THIRD) => Mode::Minor,
            _ => Mode::Major,
        };
        Key::new(self.root, mode).map_or(KeyNames::NONE, KeyNames::of)
    }

    /// The same of a sound: the chord's own tone of it, else its tension, else its usual degree.
    pub fn name_of(&self, class: PitchClass, spelling: Spelling, key: KeyNames) -> Name {
        let above = PitchClass::of(self.root.class().up_to(class).0);
        let tones = self.tones.iter().map(|tone| tone.degree);
        let own = tones
            .chain(self.tensions())
            .find(|degree| degree.class() == above.number());
        self.name(own.unwrap_or(Degree::usual(above)), spelling, key)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A chord that stands alone is named in the key on its root, a minor one in the minor key.
    #[test]
    fn a_chord_alone_is_named_in_its_own_key() {
        for (symbol, key) in [
            ("Abm7", Some("Abm")),
            ("Ebm7b5", Some("Ebm")),
            ("Dbdim7", None),
            ("G#m", Some("G#m")),
            ("Cbmaj7", Some("Cb")),
            ("F#7", Some("F#")),
            ("F#sus", Some("F#")),
            ("G#7", None),
        ] {
            let key = key.map(|key| key.parse::<Key>().unwrap());
            let wanted = key.map_or(KeyNames::NONE, KeyNames::of);
            assert_eq!(Chord::read(symbol).unwrap().key_names(), wanted, "{symbol}");
        }
    }
}
