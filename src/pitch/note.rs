//! Written notes: a name in an octave.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use super::{Interval, Name, Pitch, Unreadable};

/// A note name with its octave, C4 = middle C. `Cb4` sounds below `C4`; `B#3` sounds as C4.
///
/// ```
/// # use compline::pitch::Note;
/// let note: Note = "Cb4".parse().unwrap();
/// assert_eq!(note.pitch().unwrap().midi(), 59);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Note {
    octave: i32,
    name: Name,
}

impl Note {
    /// The note; any octave, though only MIDI's have a [`Pitch`].
    pub const fn new(name: Name, octave: i32) -> Self {
        Self { octave, name }
    }

    /// The note called `name` that sounds as `pitch`, or `None` when the name sounds otherwise.
    ///
    /// ```
    /// # use compline::pitch::{Note, Pitch};
    /// let b3 = Pitch::new(59).unwrap();
    /// assert_eq!(Note::spelled(b3, "Cb".parse().unwrap()).unwrap().to_string(), "Cb4");
    /// ```
    pub fn spelled(pitch: Pitch, name: Name) -> Option<Self> {
        let above_c = i32::from(pitch.midi()) - name.letter().semitones() - i32::from(name.alter());
        (above_c.rem_euclid(12) == 0).then(|| Self::new(name, above_c / 12 - 1))
    }

    /// A key of the piano under its [usual name](Name::usual).
    ///
    /// ```
    /// # use compline::pitch::{Note, Pitch};
    /// assert_eq!(Note::usual(Pitch::new(61).unwrap()).to_string(), "C#4");
    /// ```
    pub const fn usual(pitch: Pitch) -> Self {
        Self::new(Name::usual(pitch.class()), pitch.midi() as i32 / 12 - 1)
    }

    /// The name.
    pub const fn name(self) -> Name {
        self.name
    }

    /// The octave, 4 for the one that starts at middle C.
    pub const fn octave(self) -> i32 {
        self.octave
    }

    /// The sounding pitch, or `None` off the MIDI range.
    pub fn pitch(self) -> Option<Pitch> {
        let semitones = self.name.letter().semitones() + i32::from(self.name.alter());
        let base = self.octave.checked_add(1)?.checked_mul(12)?;
        Pitch::try_from(base.checked_add(semitones)?).ok()
    }

    /// The note an interval away; `None` where the name would need too many accidentals.
    pub fn plus(self, interval: Interval) -> Option<Self> {
        let name = self.name.plus(interval)?;
        let (_, octaves) = self.name.letter().plus(interval.steps());
        Some(Self::new(name, self.octave + octaves))
    }

    /// Splits a note off the front of `text`: `Bb3`, `c` is not one.
    pub fn split(text: &str) -> Option<(Self, &str)> {
        let (name, rest) = Name::split(text)?;
        let digits = rest.trim_start_matches('-');
        let sign = rest.len() - digits.len();
        let end = digits
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(digits.len());
        if sign > 1 || end == 0 || end > 2 {
            return None;
        }
        let octave = rest[..sign + end].parse().ok()?;
        Some((Self::new(name, octave), &rest[sign + end..]))
    }
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.name, self.octave)
    }
}

impl Serialize for Note {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        // The octaves of a piano have one digit.
        let digit = usize::try_from(self.octave).ok();
        let digit = digit.and_then(|digit| "0123456789".get(digit..=digit));
        match digit {
            Some(digit) => serializer.serialize_str(self.name.short().and(digit).as_str()),
            None => serializer.collect_str(self),
        }
    }
}

impl FromStr for Note {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        match Self::split(text) {
            Some((note, "")) => Ok(note),
            _ => Err(Unreadable::new("a note such as C4, F#3 or Bb2", text)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::Semitones;

    #[test]
    fn octaves_turn_at_c_whatever_the_accidental() {
        for (text, midi) in [("C4", 60), ("Cb4", 59), ("B#3", 60), ("A4", 69), ("C-1", 0)] {
            let note: Note = text.parse().unwrap();
            assert_eq!(note.pitch().unwrap().midi(), midi, "{text}");
            assert_eq!(note.to_string(), text);
        }
    }

    #[test]
    fn spelling_a_pitch_and_sounding_it_agree() {
        for midi in 0..128 {
            let pitch = Pitch::new(midi).unwrap();
            for text in ["C", "Cb", "B#", "F##", "Ebb", "Gb"] {
                let name: Name = text.parse().unwrap();
                match Note::spelled(pitch, name) {
                    Some(note) => assert_eq!(note.pitch(), Some(pitch)),
                    None => assert_ne!(name.class(), pitch.class()),
                }
            }
        }
    }

    #[test]
    fn transposing_carries_the_octave() {
        let fifth_down = Interval::new(-4, Semitones(-7));
        let c4: Note = "C4".parse().unwrap();
        assert_eq!(c4.plus(fifth_down).unwrap().to_string(), "F3");
    }
}
