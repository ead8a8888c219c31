//! Swing: eighths of a quarter note that are played long and short.

use std::fmt;
use std::str::FromStr;

use num_rational::Ratio;

use super::Quarters;
use crate::chart::Meter;

/// How long the first eighth of a quarter is against the second, such as 2 : 1.
///
/// ```
/// # use compline::score::Swing;
/// let swing: Swing = "2:1".parse().unwrap();
/// assert_eq!(swing, Swing::TRIPLET);
/// assert!("1:2".parse::<Swing>().is_err());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Swing {
    long: u8,
    short: u8,
}

/// Text that is no swing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotASwing;

impl fmt::Display for NotASwing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("not a swing: long against short, such as 2:1 or 3:2, at most 4:1")
    }
}

impl std::error::Error for NotASwing {}

impl FromStr for Swing {
    type Err = NotASwing;

    fn from_str(text: &str) -> Result<Self, NotASwing> {
        let (long, short) = text.split_once(':').ok_or(NotASwing)?;
        let number = |text: &str| text.parse::<u8>().ok().filter(|n| (1..=99).contains(n));
        let (long, short) = number(long).zip(number(short)).ok_or(NotASwing)?;
        if long < short || u16::from(long) > 4 * u16::from(short) {
            return Err(NotASwing);
        }
        Ok(Self { long, short })
    }
}

impl Swing {
    /// 2 : 1, the first and the third note of a triplet (common practice, no source).
    pub const TRIPLET: Self = Self { long: 2, short: 1 };

    /// Where a place in a bar comes to sound. Whole quarters stay, and so do tuplets and meters that
    /// count eighths: only what divides a quarter in halves is moved.
    pub(super) fn moved(self, place: Quarters, meter: Meter) -> Quarters {
        if meter.lower() > 4 || !place.is_binary() {
            return place;
        }
        let quarter = place.ratio().floor();
        let within = place.ratio() - quarter;
        let sum = i64::from(self.long) + i64::from(self.short);
        let (half, long) = (Ratio::new(1, 2), Ratio::new(i64::from(self.long), sum));
        let moved = if within <= half {
            within * 2 * long
        } else {
            long + (within - half) * 2 * (Ratio::from(1) - long)
        };
        Quarters::from(quarter + moved)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moved(meter: &str, upper: i64, lower: i64) -> String {
        let place = Quarters::new(upper, lower);
        Swing::TRIPLET
            .moved(place, meter.parse().unwrap())
            .to_string()
    }

    #[test]
    fn the_second_eighth_comes_late_and_nothing_else_moves() {
        assert_eq!(moved("4/4", 1, 2), "2/3");
        assert_eq!(moved("4/4", 5, 2), "8/3");
        assert_eq!(moved("4/4", 3, 4), "5/6");
        assert_eq!(moved("4/4", 2, 1), "2");
        assert_eq!(moved("4/4", 1, 3), "1/3");
        assert_eq!(moved("6/8", 1, 2), "1/2");
    }
}
