//! Meters: how many beats a bar has and what note value each is.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use super::Beats;

/// A time signature.
///
/// In 6/8, 9/8 and 12/8 musicians count dotted quarters, so a bar of 6/8 has two beats; in every
/// other meter the lower number is the beat (common practice, no source).
///
/// ```
/// # use compline::chart::Meter;
/// let meter: Meter = "6/8".parse().unwrap();
/// assert_eq!(meter.beats_in_bar(), 2);
/// assert_eq!(meter.quarters_in_beat().to_string(), "3/2");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Meter {
    beats: u8,
    unit: u8,
}

/// The largest upper number: more is a slip of the keyboard.
const MOST: u8 = 32;

impl Meter {
    /// 4/4.
    pub const COMMON: Self = Self { beats: 4, unit: 4 };

    /// The meter, or `None` unless the upper number is 1 to 32 and the lower 2, 4, 8 or 16.
    pub const fn new(beats: u8, unit: u8) -> Option<Self> {
        if beats >= 1 && beats <= MOST && matches!(unit, 2 | 4 | 8 | 16) {
            Some(Self { beats, unit })
        } else {
            None
        }
    }

    /// The upper number.
    pub const fn upper(self) -> u8 {
        self.beats
    }

    /// The lower number: 2, 4, 8 or 16.
    pub const fn lower(self) -> u8 {
        self.unit
    }

    /// Whether the beat is a dotted quarter: 6/8, 9/8 and 12/8.
    pub const fn is_compound(self) -> bool {
        self.unit == 8 && matches!(self.beats, 6 | 9 | 12)
    }

    /// How many beats a bar has.
    pub const fn beats_in_bar(self) -> u8 {
        if self.is_compound() {
            self.beats / 3
        } else {
            self.beats
        }
    }

    /// What a beat is worth in quarter notes: 1 in 4/4, 3/2 in 6/8, 2 in 2/2.
    pub fn quarters_in_beat(self) -> Beats {
        let (upper, lower) = if self.is_compound() {
            (3, 2)
        } else {
            (4, i64::from(self.unit))
        };
        // The lower number is never zero, so the default is never taken.
        Beats::new(upper, lower).unwrap_or(Beats::whole(1))
    }
}

impl fmt::Display for Meter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.beats, self.unit)
    }
}

impl Serialize for Meter {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// Text that is no meter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotAMeter;

impl fmt::Display for NotAMeter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("not a meter such as 4/4, 3/4 or 6/8")
    }
}

impl std::error::Error for NotAMeter {}

impl FromStr for Meter {
    type Err = NotAMeter;

    fn from_str(text: &str) -> Result<Self, NotAMeter> {
        let number = |t: &str| {
            let plain = t.bytes().all(|b| b.is_ascii_digit());
            plain.then(|| t.parse().ok()).flatten()
        };
        text.split_once('/')
            .and_then(|(upper, lower)| Self::new(number(upper)?, number(lower)?))
            .ok_or(NotAMeter)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_six_nine_and_twelve_eight_count_dotted_quarters() {
        for (text, beats) in [
            ("6/8", 2),
            ("9/8", 3),
            ("12/8", 4),
            ("3/8", 3),
            ("5/8", 5),
            ("7/8", 7),
            ("6/4", 6),
            ("2/2", 2),
        ] {
            assert_eq!(
                text.parse::<Meter>().unwrap().beats_in_bar(),
                beats,
                "{text}"
            );
        }
    }

    #[test]
    fn impossible_meters_are_refused() {
        for text in [
            "", "4", "0/4", "33/4", "4/3", "4/0", "4/4/4", "-3/4", "3 / 4",
        ] {
            assert!(text.parse::<Meter>().is_err(), "{text}");
        }
    }
}
