//! Places in a chord: 1, b3, #11.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use super::accidental;
use super::short::Short;
use super::{Interval, Name, PitchClass, Semitones, Unreadable};

/// A scale degree above a chord's root, 1 to 13, with its alteration against the major scale.
///
/// ```
/// # use compline::pitch::Degree;
/// let degree: Degree = "#11".parse().unwrap();
/// assert_eq!(degree.semitones().0, 18);
/// assert_eq!(degree.to_string(), "#11");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Degree {
    number: u8,
    alter: i8,
}

/// The major scale, semitones above its tonic.
const MAJOR: [i32; 7] = [0, 2, 4, 5, 7, 9, 11];

/// The class of every degree, by its number and its alteration from three flats up: everything that is judged of a
/// voicing asks for it.
const CLASSES: [[u8; 7]; 14] = {
    let mut classes = [[0; 7]; 14];
    let mut number = 1;
    while number < classes.len() {
        let mut sharps = 0;
        while sharps < classes[number].len() {
            let natural = MAJOR[(number - 1) % 7];
            let class = (natural + sharps as i32 - accidental::MOST as i32).rem_euclid(12);
            classes[number][sharps] = class as u8;
            sharps += 1;
        }
        number += 1;
    }
    classes
};

impl Degree {
    /// 1
    pub const ROOT: Self = Self::known(1, 0);
    /// 3
    pub const THIRD: Self = Self::known(3, 0);
    /// b3
    pub const MINOR_THIRD: Self = Self::known(3, -1);
    /// 4
    pub const FOURTH: Self = Self::known(4, 0);
    /// 5
    pub const FIFTH: Self = Self::known(5, 0);
    /// b5
    pub const FLAT_FIFTH: Self = Self::known(5, -1);
    /// #5
    pub const SHARP_FIFTH: Self = Self::known(5, 1);
    /// 6
    pub const SIXTH: Self = Self::known(6, 0);
    /// 7
    pub const SEVENTH: Self = Self::known(7, 0);
    /// b7
    pub const FLAT_SEVENTH: Self = Self::known(7, -1);
    /// bb7
    pub const DOUBLE_FLAT_SEVENTH: Self = Self::known(7, -2);
    /// b9
    pub const FLAT_NINTH: Self = Self::known(9, -1);
    /// 9
    pub const NINTH: Self = Self::known(9, 0);
    /// #9
    pub const SHARP_NINTH: Self = Self::known(9, 1);
    /// 11
    pub const ELEVENTH: Self = Self::known(11, 0);
    /// #11
    pub const SHARP_ELEVENTH: Self = Self::known(11, 1);
    /// b13
    pub const FLAT_THIRTEENTH: Self = Self::known(13, -1);
    /// 13
    pub const THIRTEENTH: Self = Self::known(13, 0);

    /// The degree, or `None` when the number is not 1 to 13 or has more than three accidentals.
    pub const fn new(number: u8, alter: i8) -> Option<Self> {
        if number >= 1 && number <= 13 && alter >= -accidental::MOST && alter <= accidental::MOST {
            Some(Self { number, alter })
        } else {
            None
        }
    }

    /// A degree whose number is known to be one: from 1 to 13, with at most three accidentals. A wrong one
    /// is a bug, which stops a build with debug assertions; in others the number is clamped.
    pub const fn known(number: u8, alter: i8) -> Self {
        debug_assert!(Self::new(number, alter).is_some(), "a degree is 1 to 13");
        let number = if number < 1 {
            1
        } else if number > 13 {
            13
        } else {
            number
        };
        Self { number, alter }
    }

    /// What a sound of this class above a root usually is, when neither chord nor spelling says.
    ///
    /// ```
    /// # use compline::pitch::{Degree, PitchClass};
    /// assert_eq!(Degree::usual(PitchClass::of(6)), Degree::SHARP_ELEVENTH);
    /// ```
    pub const fn usual(above: PitchClass) -> Self {
        match above.number() {
            0 => Self::ROOT,
            1 => Self::FLAT_NINTH,
            2 => Self::NINTH,
            3 => Self::SHARP_NINTH,
            4 => Self::THIRD,
            5 => Self::ELEVENTH,
            6 => Self::SHARP_ELEVENTH,
            7 => Self::FIFTH,
            8 => Self::FLAT_THIRTEENTH,
            9 => Self::THIRTEENTH,
            10 => Self::FLAT_SEVENTH,
            _ => Self::SEVENTH,
        }
    }

    /// 1 to 13.
    pub const fn number(self) -> u8 {
        self.number
    }

    /// -1 for a flat, 1 for a sharp.
    pub const fn alter(self) -> i8 {
        self.alter
    }

    fn short(self) -> Short {
        const NUMBERS: [&str; 14] = [
            "0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12", "13",
        ];
        let number = NUMBERS.get(usize::from(self.number)).copied();
        let accidentals = Short::default().and(accidental::text(self.alter));
        accidentals.and(number.unwrap_or_default())
    }

    /// Semitones above the root; 9, 11 and 13 count the octave they are written in.
    pub const fn semitones(self) -> Semitones {
        let place = self.number as i32 - 1;
        Semitones(MAJOR[(place % 7) as usize] + 12 * (place / 7) + self.alter as i32)
    }

    /// Semitones above the root within one octave, 0 to 11.
    pub const fn class(self) -> u8 {
        CLASSES[self.number as usize][(self.alter + accidental::MOST) as usize]
    }

    /// The interval from the root.
    pub const fn interval(self) -> Interval {
        Interval::new(self.number as i32 - 1, self.semitones())
    }

    /// The name of this degree over `root`: the b7 of Gb is Fb.
    ///
    /// `None` where the name would need more than three accidentals.
    pub fn above(self, root: Name) -> Option<Name> {
        root.plus(self.interval())
    }
}

impl fmt::Display for Degree {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.short().as_str())
    }
}

impl FromStr for Degree {
    type Err = Unreadable;

    fn from_str(text: &str) -> Result<Self, Unreadable> {
        let (alter, digits) = accidental::split(text);
        digits
            .parse()
            .ok()
            .filter(|_| digits.bytes().all(|b| b.is_ascii_digit()))
            .and_then(|number| Self::new(number, alter))
            .ok_or_else(|| Unreadable::new("a degree such as 3, b7 or #11", text))
    }
}

impl Serialize for Degree {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.short().as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_class_is_what_is_left_of_the_semitones() {
        for (number, alter) in
            (1..=13).flat_map(|number| (-3..=3).map(move |alter| (number, alter)))
        {
            let degree = Degree::new(number, alter).unwrap();
            assert_eq!(
                i32::from(degree.class()),
                degree.semitones().0.rem_euclid(12),
                "{degree}"
            );
        }
    }

    #[test]
    fn semitones_match_the_major_scale() {
        for (text, semitones) in [
            ("1", 0),
            ("b3", 3),
            ("#4", 6),
            ("bb7", 9),
            ("b9", 13),
            ("#9", 15),
            ("11", 17),
            ("b13", 20),
        ] {
            let degree: Degree = text.parse().unwrap();
            assert_eq!(degree.semitones(), Semitones(semitones), "{text}");
        }
    }

    #[test]
    fn every_degree_prints_as_it_reads() {
        for number in 1..=13 {
            for alter in -3..=3 {
                let degree = Degree::new(number, alter).unwrap();
                assert_eq!(degree.to_string().parse(), Ok(degree));
            }
        }
        for text in ["", "0", "14", "+7", "b", "7b", "bbbb7"] {
            assert!(text.parse::<Degree>().is_err(), "{text}");
        }
    }

    #[test]
    fn names_follow_the_letter_of_the_degree() {
        for (root, degree, name) in [
            ("Gb", "b7", "Fb"),
            ("F#", "3", "A#"),
            ("Db", "b13", "Bbb"),
            ("B", "#11", "E#"),
            ("C", "bb7", "Bbb"),
        ] {
            let root: Name = root.parse().unwrap();
            let degree: Degree = degree.parse().unwrap();
            assert_eq!(degree.above(root).unwrap().to_string(), name);
        }
    }
}
