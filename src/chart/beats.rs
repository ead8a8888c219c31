//! Lengths in beats, as exact fractions: a triplet is 2/3, never 0.667.
//!
//! Where it stops: what a beat is worth is the business of [`Meter`](super::Meter).

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Sub};
use std::str::FromStr;

use num_rational::Ratio;
use serde::{Serialize, Serializer};

/// A length, or a place in a bar, in beats.
///
/// ```
/// # use compline::chart::Beats;
/// let dotted: Beats = "3/2".parse().unwrap();
/// assert_eq!(dotted + Beats::whole(1), "5/2".parse().unwrap());
/// assert_eq!(Beats::whole(4).to_string(), "4");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Beats(Ratio<i64>);

/// What a written fraction of a beat may divide the beat into: a divisor of 64 · 9 · 5 · 7.
///
/// It holds every note value down to 64ths with their triplets, quintuplets and septuplets, and
/// keeps the sum of any number of them exact in 64 bits.
const FINEST: i64 = 20_160;

/// The longest length that can be written, in beats.
const LONGEST: i64 = 9_999;

impl Beats {
    /// No time at all.
    pub const ZERO: Self = Self(Ratio::new_raw(0, 1));

    /// A whole number of beats.
    pub const fn whole(beats: i64) -> Self {
        Self(Ratio::new_raw(beats, 1))
    }

    /// `numerator`/`denominator` beats, or `None` when the denominator is not at least 1.
    pub fn new(numerator: i64, denominator: i64) -> Option<Self> {
        (denominator > 0).then(|| Self(Ratio::new(numerator, denominator)))
    }

    /// The fraction in its lowest terms.
    pub const fn ratio(self) -> Ratio<i64> {
        self.0
    }

    /// The upper number of the fraction in its lowest terms.
    pub const fn numerator(self) -> i64 {
        *self.0.numer()
    }

    /// The lower number of the fraction in its lowest terms, at least 1.
    pub const fn denominator(self) -> i64 {
        *self.0.denom()
    }

    /// Most lengths and places are whole, and then there is nothing to put in lowest terms.
    const fn is_whole(self) -> bool {
        self.denominator() == 1
    }
}

impl Add for Beats {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        match self.is_whole() && other.is_whole() {
            true => Self::whole(self.numerator() + other.numerator()),
            false => Self(self.0 + other.0),
        }
    }
}

impl Sub for Beats {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        match self.is_whole() && other.is_whole() {
            true => Self::whole(self.numerator() - other.numerator()),
            false => Self(self.0 - other.0),
        }
    }
}

impl Sum for Beats {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, Add::add)
    }
}

impl fmt::Display for Beats {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

impl Serialize for Beats {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        // Most are a few whole beats.
        let digit = usize::try_from(self.numerator()).ok();
        let digit = digit.and_then(|digit| "0123456789".get(digit..=digit));
        match digit.filter(|_| self.denominator() == 1) {
            Some(digit) => serializer.serialize_str(digit),
            None => serializer.collect_str(self),
        }
    }
}

/// Text that is no length in beats.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotBeats;

impl fmt::Display for NotBeats {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("not a length in beats such as 1, 3/2 or 2/3")
    }
}

impl std::error::Error for NotBeats {}

impl FromStr for Beats {
    type Err = NotBeats;

    /// Reads `2` or `3/2`: more than nothing, at most 9999 beats, and divided in parts a musician
    /// can name (down to 64ths, and their triplets, quintuplets and septuplets).
    fn from_str(text: &str) -> Result<Self, NotBeats> {
        let (upper, lower) = text.split_once('/').unwrap_or((text, "1"));
        let upper = digits(upper).filter(|n| (1..=LONGEST).contains(n));
        let lower = digits(lower).filter(|n| *n > 0 && FINEST % n == 0);
        let beats = upper.zip(lower).and_then(|(n, d)| Self::new(n, d));
        beats.ok_or(NotBeats)
    }
}

fn digits(text: &str) -> Option<i64> {
    let plain = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    plain.then(|| text.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_are_kept_in_lowest_terms() {
        assert_eq!("6/4".parse::<Beats>().unwrap().to_string(), "3/2");
        assert_eq!("8/4".parse::<Beats>().unwrap().to_string(), "2");
    }

    #[test]
    fn three_triplets_are_exactly_one_beat() {
        let third: Beats = "1/3".parse().unwrap();
        assert_eq!([third; 3].into_iter().sum::<Beats>(), Beats::whole(1));
    }

    #[test]
    fn nothing_negative_endless_or_unnameable_is_read() {
        for text in [
            "",
            "0",
            "-1",
            "+1",
            "1/0",
            "1/",
            "/2",
            "1.5",
            "10000",
            "1/11",
            "1/2/3",
            "99999999999999999999",
        ] {
            assert!(text.parse::<Beats>().is_err(), "{text}");
        }
    }
}
