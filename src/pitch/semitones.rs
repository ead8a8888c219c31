//! Keys of the piano, their classes, and the distance between two of them.

use std::fmt;

use serde::{Serialize, Serializer};

use super::Unreadable;

/// A signed distance in semitones (equal-tempered half steps).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Semitones(pub i32);

impl fmt::Display for Semitones {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

/// One of the twelve pitch classes, 0 = C to 11 = B.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PitchClass(u8);

impl PitchClass {
    /// The class of any number of semitones above some C.
    ///
    /// ```
    /// # use compline::pitch::PitchClass;
    /// assert_eq!(PitchClass::of(-1).number(), 11);
    /// ```
    pub const fn of(semitones: i32) -> Self {
        Self(semitones.rem_euclid(12) as u8)
    }

    /// 0 (C) to 11 (B).
    pub const fn number(self) -> u8 {
        self.0
    }

    /// How far `other` lies above this class, 0 to 11 semitones.
    pub const fn up_to(self, other: Self) -> Semitones {
        Semitones((other.0 as i32 - self.0 as i32).rem_euclid(12))
    }

    /// The class `distance` away.
    pub const fn plus(self, distance: Semitones) -> Self {
        Self::of(self.0 as i32 + distance.0)
    }
}

/// A pitch as MIDI numbers it: 0 to 127, middle C = 60.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Pitch(u8);

impl Pitch {
    /// Middle C.
    pub const MIDDLE_C: Self = Self(60);

    /// The pitch with this MIDI number, or `None` above 127.
    pub const fn new(midi: u8) -> Option<Self> {
        if midi < 128 { Some(Self(midi)) } else { None }
    }

    /// The MIDI number, 0 to 127.
    pub const fn midi(self) -> u8 {
        self.0
    }

    /// The pitch class.
    pub const fn class(self) -> PitchClass {
        PitchClass::of(self.0 as i32)
    }

    /// The pitch `distance` away, or `None` off the MIDI range.
    pub fn plus(self, distance: Semitones) -> Option<Self> {
        Self::try_from(i32::from(self.0) + distance.0).ok()
    }

    /// How far `other` lies above this pitch (negative when below).
    pub const fn up_to(self, other: Self) -> Semitones {
        Semitones(other.0 as i32 - self.0 as i32)
    }

    /// The lowest pitch of `class` that is not below this one, if MIDI has one.
    pub fn next_of(self, class: PitchClass) -> Option<Self> {
        self.plus(self.class().up_to(class))
    }
}

impl TryFrom<i32> for Pitch {
    type Error = Unreadable;

    fn try_from(midi: i32) -> Result<Self, Unreadable> {
        u8::try_from(midi)
            .ok()
            .and_then(Self::new)
            .ok_or_else(|| Unreadable::new("a MIDI number from 0 to 127", &midi.to_string()))
    }
}

impl Serialize for Pitch {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u8(self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pitches_stop_at_the_ends_of_midi() {
        assert_eq!(Pitch::new(127).map(Pitch::midi), Some(127));
        assert_eq!(Pitch::new(128), None);
        assert_eq!(Pitch::MIDDLE_C.plus(Semitones(-61)), None);
    }

    #[test]
    fn next_of_stays_or_climbs_less_than_an_octave() {
        let c3 = Pitch::new(48).unwrap();
        assert_eq!(c3.next_of(PitchClass::of(0)), Some(c3));
        assert_eq!(c3.next_of(PitchClass::of(11)), Pitch::new(59));
    }
}
