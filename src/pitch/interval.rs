//! Spelled intervals: how many letters and how many semitones.

use super::{Name, PitchClass, Semitones};

/// A spelled interval: letter steps and semitones, both signed. A minor third up is 2 and 3.
///
/// ```
/// # use compline::pitch::{Interval, Name};
/// let up = Interval::between("Eb".parse().unwrap(), "Gb".parse().unwrap());
/// let name: Name = "Bb".parse().unwrap();
/// assert_eq!(name.plus(up).unwrap().to_string(), "Db");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Interval {
    steps: i32,
    semitones: Semitones,
}

impl Interval {
    /// No movement.
    pub const UNISON: Self = Self::new(0, Semitones(0));

    /// The interval of `steps` letters and `semitones` half steps.
    pub const fn new(steps: i32, semitones: Semitones) -> Self {
        Self { steps, semitones }
    }

    /// The smallest upward interval from one name to another: less than an octave of letters.
    pub const fn between(from: Name, to: Name) -> Self {
        let steps = (to.letter() as i32 - from.letter() as i32).rem_euclid(7);
        let octave = if (to.letter() as i32) < from.letter() as i32 {
            12
        } else {
            0
        };
        let semitones = to.letter().semitones() + to.alter() as i32 + octave
            - from.letter().semitones()
            - from.alter() as i32;
        Self::new(steps, Semitones(semitones))
    }

    /// Letter steps: 0 for a unison, 2 for a third.
    pub const fn steps(self) -> i32 {
        self.steps
    }

    /// Half steps.
    pub const fn semitones(self) -> Semitones {
        self.semitones
    }

    /// This interval an octave lower when that is the shorter way (a sixth up is a third down).
    ///
    /// Transposing a tune by the nearer direction keeps it closest to where it was written.
    pub const fn nearer(self) -> Self {
        if self.semitones.0 > 6 {
            Self::new(self.steps - 7, Semitones(self.semitones.0 - 12))
        } else {
            self
        }
    }

    /// How far it moves a pitch class.
    pub const fn class(self) -> PitchClass {
        PitchClass::of(self.semitones.0)
    }
}

impl Name {
    /// The name an interval higher; `None` where it would need more than three accidentals.
    pub fn plus(self, interval: Interval) -> Option<Self> {
        let (letter, octaves) = self.letter().plus(interval.steps());
        let natural = letter.semitones() + 12 * octaves - self.letter().semitones();
        let alter = i32::from(self.alter()) + interval.semitones().0 - natural;
        i8::try_from(alter).ok().and_then(|a| Self::new(letter, a))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_pair_of_names_is_bridged_exactly() {
        let names: Vec<Name> = ["C", "C#", "Db", "E", "Fb", "F#", "Gb", "A", "B", "Cb", "B#"]
            .into_iter()
            .map(|n| n.parse().unwrap())
            .collect();
        for &from in &names {
            for &to in &names {
                let interval = Interval::between(from, to);
                assert_eq!(from.plus(interval), Some(to));
                assert_eq!(from.plus(interval.nearer()), Some(to));
            }
        }
    }
}
