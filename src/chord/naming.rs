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
        self.name(self.degree_of(class), spelling, key)
    }

    /// The degree a sound is over the chord: its own tone, else its tension, else the usual one.
    fn degree_of(&self, class: PitchClass) -> Degree {
        let above = PitchClass::of(self.root.class().up_to(class).0);
        let tones = self.tones.iter().map(|tone| tone.degree);
        let own = tones
            .chain(self.tensions())
            .find(|degree| degree.class() == above.number());
        own.unwrap_or(Degree::usual(above))
    }

    /// The names of sounds that are played together: those of [`Chord::name_of`], but no letter twice where that
    /// can be helped.
    ///
    /// ```
    /// # use compline::chord::Chord;
    /// # use compline::pitch::{KeyNames, Name, Spelling};
    /// let chord = Chord::read("Dbm7").unwrap();
    /// let sounds = ["E", "G#", "B", "D#"].map(|name| name.parse::<Name>().unwrap().class());
    /// let names = chord.names_together(&sounds, Spelling::Practical, KeyNames::NONE);
    /// assert_eq!(names.map(|name| name.to_string()).collect::<Vec<_>>(), ["Fb", "Ab", "Cb", "Eb"]);
    /// ```
    pub fn names_together(
        &self,
        sounds: &[PitchClass],
        spelling: Spelling,
        key: KeyNames,
    ) -> impl Iterator<Item = Name> + use<> {
        let called = |class: &PitchClass| {
            let degree = self.degree_of(*class);
            (degree, self.name(degree, spelling, key))
        };
        let mut notes: Vec<(Degree, Name)> = sounds.iter().map(called).collect();
        self.keep_letters(&mut notes, spelling, key);
        notes.into_iter().map(|(_, name)| name)
    }

    /// Gives notes that are played together their names by theory back where their everyday names would have a
    /// letter twice, and then those of their kind as well, so that no Fb stands beside a B (common practice, no
    /// source). A #9 keeps its everyday name: F beside the F# of D7#9.
    pub fn keep_letters(&self, notes: &mut [(Degree, Name)], spelling: Spelling, key: KeyNames) {
        let kept = self.kept(notes, |degree, name, others| {
            let twice = others.iter().any(|other| other.letter() == name.letter());
            let by_theory = self.spell(degree);
            twice && spelling.keeps_letter(by_theory, key, others)
        });
        if kept == 0 {
            return;
        }
        self.kept(notes, |degree, _, others| {
            spelling.may_keep_letter(self.spell(degree), key, others)
        });
    }

    /// Names each note by theory for which `keeps` says so beside the others; gives how many.
    fn kept(
        &self,
        notes: &mut [(Degree, Name)],
        keeps: impl Fn(Degree, Name, &[Name]) -> bool,
    ) -> usize {
        let mut count = 0;
        for at in 0..notes.len() {
            let others = notes.iter().enumerate().filter(|(other, _)| *other != at);
            let others: Vec<Name> = others.map(|(_, (_, name))| *name).collect();
            let Some((degree, name)) = notes.get_mut(at) else {
                continue;
            };
            if *degree != Degree::SHARP_NINTH && keeps(*degree, *name, &others) {
                *name = self.spell(*degree);
                count += 1;
            }
        }
        count
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

    #[test]
    fn beside_one_note_that_keeps_its_letter_all_do() {
        for (symbol, sounds, melody, named) in [
            ("Dbm7", "E G# B D#", "", "Fb Ab Cb Eb"),
            // Nothing stands twice, and the everyday names stay.
            ("Dbm7", "E G# B C#", "", "E Ab B Db"),
            // The melody has its own name for it.
            ("Dbm7", "E G# B D#", "B", "Fb Ab B Eb"),
            ("D7#9", "F# C F", "", "F# C F"),
        ] {
            let names = |text: &str| {
                let names = text
                    .split_whitespace()
                    .map(|name| name.parse::<Name>().unwrap());
                names.collect::<Vec<_>>()
            };
            let sounds: Vec<PitchClass> = names(sounds).into_iter().map(Name::class).collect();
            let key = KeyNames::NONE.under(names(melody));
            let chord = Chord::read(symbol).unwrap();
            let together = chord.names_together(&sounds, Spelling::Practical, key);
            assert_eq!(together.collect::<Vec<_>>(), names(named), "{symbol}");
        }
    }
}
