//! Note values: whole, half, quarter and so on, with dots.

use super::Quarters;

/// A note value with its dots, such as a dotted quarter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NoteValue {
    /// How often a quarter note is doubled: 0 for a quarter, 2 for a whole note, -1 for an eighth.
    pub doublings: i8,
    /// How many dots: 0 or 1.
    pub dots: u8,
}

/// The longest value: a breve, two whole notes.
const LONGEST: i8 = 3;

/// The shortest: a 1024th.
const SHORTEST: i8 = -8;

impl NoteValue {
    /// The value of exactly this length, if there is one.
    ///
    /// ```
    /// # use compline::score::{NoteValue, Quarters};
    /// let dotted = NoteValue::of(Quarters::new(3, 2)).unwrap();
    /// assert_eq!((dotted.name(), dotted.dots), ("quarter", 1));
    /// assert_eq!(NoteValue::of(Quarters::new(5, 2)), None);
    /// ```
    pub fn of(length: Quarters) -> Option<Self> {
        Self::all().find(|value| value.length() == length)
    }

    /// Every value, the longest first.
    pub fn all() -> impl Iterator<Item = Self> {
        (SHORTEST..=LONGEST).rev().flat_map(|doublings| {
            let of = move |dots| Self { doublings, dots };
            let dotted = (doublings > SHORTEST && doublings < LONGEST).then(|| of(1));
            dotted.into_iter().chain([of(0)])
        })
    }

    /// How long it lasts, a tuplet aside.
    pub fn length(self) -> Quarters {
        let plain = match u32::try_from(self.doublings) {
            Ok(up) => Quarters::whole(1 << up),
            Err(_) => Quarters::new(1, 1 << self.doublings.unsigned_abs()),
        };
        match self.dots {
            0 => plain,
            _ => Quarters::from(plain.ratio() * 3 / 2),
        }
    }

    /// How many flags or beams it has.
    pub const fn flags(self) -> u8 {
        if self.doublings < 0 {
            self.doublings.unsigned_abs()
        } else {
            0
        }
    }

    /// Its name in English, the dots aside: `quarter`, `eighth`, `16th`.
    pub const fn name(self) -> &'static str {
        match self.doublings {
            3.. => "breve",
            2 => "whole",
            1 => "half",
            0 => "quarter",
            -1 => "eighth",
            -2 => "16th",
            -3 => "32nd",
            -4 => "64th",
            -5 => "128th",
            -6 => "256th",
            -7 => "512th",
            ..=-8 => "1024th",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_is_found_by_its_length_and_they_fall() {
        let all: Vec<NoteValue> = NoteValue::all().collect();
        for pair in all.windows(2) {
            assert!(pair[0].length() > pair[1].length(), "{pair:?}");
        }
        for value in all {
            assert_eq!(NoteValue::of(value.length()), Some(value));
        }
    }
}
