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
