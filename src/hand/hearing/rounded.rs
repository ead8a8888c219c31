//! Numbers kept to a fixed number of decimal places, as whole numbers.

use std::fmt;

use serde::{Serialize, Serializer};

/// A number of `PLACES` decimal places, 0 or more. Prints all its places.
///
/// ```
/// # use compline::hand::Thousandths;
/// assert_eq!(Thousandths::of(0.12024).to_string(), "0.120");
/// assert_eq!(Thousandths::of(0.12024), Thousandths::new(120));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Rounded<const PLACES: u32>(u32);

/// A number to three decimal places.
pub type Thousandths = Rounded<3>;

/// A number to two decimal places.
pub type Hundredths = Rounded<2>;

impl<const PLACES: u32> Rounded<PLACES> {
    const ONE: u32 = 10u32.pow(PLACES);

    /// So many units of the last place.
    pub const fn new(units: u32) -> Self {
        Self(units)
    }

    /// The nearest such number; a half goes up. Nothing below 0, nothing beyond the largest.
    pub fn of(value: f64) -> Self {
        // A cast from a float saturates, and takes what is no number as 0.
        Self((value * f64::from(Self::ONE)).round() as u32)
    }

    /// How many units of the last place.
    pub const fn units(self) -> u32 {
        self.0
    }
}

impl<const PLACES: u32> fmt::Display for Rounded<PLACES> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, part) = (self.0 / Self::ONE, self.0 % Self::ONE);
        write!(f, "{whole}.{part:0places$}", places = PLACES as usize)
    }
}

/// As a JSON number with just these places at most: 0.12.
impl<const PLACES: u32> Serialize for Rounded<PLACES> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        // The quotient of two whole numbers is the float nearest the decimal, which prints as it.
        serializer.serialize_f64(f64::from(self.0) / f64::from(Self::ONE))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_printed_is_what_is_compared() {
        for (value, text) in [
            (0.0, "0.000"),
            (0.0004, "0.000"),
            (0.0005, "0.001"),
            (0.49882, "0.499"),
            (0.99951, "1.000"),
            (12.0606, "12.061"),
            (-1.0, "0.000"),
            (f64::NAN, "0.000"),
        ] {
            assert_eq!(Thousandths::of(value).to_string(), text);
        }
        assert_eq!(Hundredths::of(132.639).to_string(), "132.64");
        assert_eq!(Hundredths::new(5).to_string(), "0.05");
    }

    #[test]
    fn json_has_no_more_places_than_are_kept() {
        for units in 0..5000 {
            let json = serde_json::to_string(&Thousandths::new(units)).unwrap();
            let text = Thousandths::new(units).to_string();
            let (digits, point) = (text.trim_end_matches('0'), json.trim_end_matches('0'));
            assert_eq!(digits, point);
        }
    }
}
