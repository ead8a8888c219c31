//! Lengths and places in quarter notes, as exact fractions.
//!
//! Files of other formats can say any length, and a run of signs can halve one for ever. So every fraction
//! is kept where two of them can be added, multiplied or divided without leaving 64 bits: what is finer than
//! [`FINEST`] is rounded, what is longer than [`LONGEST`] is as long as that. No written music comes near.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Sub};

use num_rational::Ratio;

use crate::chart::{Beats, Meter};

/// The largest denominator: MIDI files have up to 32,767 ticks in a quarter.
const FINEST: i64 = 1 << 19;

/// What is finer is rounded to parts of this size: it has 64ths with their triplets, quintuplets and septuplets.
const GRID: i64 = 16 * 20_160;

/// The longest time: as many bars of 4/4 as a million.
const LONGEST: i64 = 4_000_000;

/// A length or a place in time, in quarter notes.
///
/// ```
/// # use compline::chart::{Beats, Meter};
/// # use compline::score::Quarters;
/// let beat = Quarters::of_beats(Beats::whole(1), "6/8".parse().unwrap());
/// assert_eq!(beat.to_string(), "3/2");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Quarters(Ratio<i64>);

impl Quarters {
    /// No time at all.
    pub const ZERO: Self = Self(Ratio::new_raw(0, 1));

    /// A whole number of quarter notes.
    pub const fn whole(quarters: i64) -> Self {
        Self(Ratio::new_raw(quarters, 1))
    }

    /// `numerator`/`denominator` quarter notes; a denominator below 1 counts as 1.
    pub fn new(numerator: i64, denominator: i64) -> Self {
        Self::of_wide(i128::from(numerator), i128::from(denominator.max(1)))
    }

    /// The fraction where it is short and coarse enough, else the nearest that is; `denominator` is more
    /// than nothing.
    fn of_wide(numerator: i128, denominator: i128) -> Self {
        let longest = i128::from(LONGEST);
        let numerator = numerator.clamp(-longest * denominator, longest * denominator);
        match (i64::try_from(numerator), i64::try_from(denominator)) {
            (Ok(numerator), Ok(denominator)) => Self::kept(Ratio::new(numerator, denominator)),
            _ => Self::rounded(numerator, denominator),
        }
    }

    fn kept(ratio: Ratio<i64>) -> Self {
        let (numerator, denominator) = (*ratio.numer(), *ratio.denom());
        if denominator > FINEST {
            return Self::rounded(numerator.into(), denominator.into());
        }
        match numerator.unsigned_abs() > LONGEST.unsigned_abs() * denominator.unsigned_abs() {
            true => Self::whole(LONGEST * numerator.signum()),
            false => Self(ratio),
        }
    }

    /// The nearest part of the grid to a fraction no longer than the longest.
    fn rounded(numerator: i128, denominator: i128) -> Self {
        let parts = (2 * numerator * i128::from(GRID) + denominator).div_euclid(2 * denominator);
        let longest = LONGEST * GRID;
        let parts = i64::try_from(parts).unwrap_or(longest);
        Self(Ratio::new(parts.clamp(-longest, longest), GRID))
    }

    /// What so many beats of a meter last.
    pub fn of_beats(beats: Beats, meter: Meter) -> Self {
        Self::from(beats.ratio()) * meter.quarters_in_beat().ratio()
    }

    /// What a full bar of a meter lasts.
    pub fn of_bar(meter: Meter) -> Self {
        Self::of_beats(Beats::whole(i64::from(meter.beats_in_bar())), meter)
    }

    /// The same time in beats of a meter.
    pub fn in_beats(self, meter: Meter) -> Ratio<i64> {
        self.0 / meter.quarters_in_beat().ratio()
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

    /// Whether it is a whole number of halves, quarters, eighths and so on: no tuplet.
    pub const fn is_binary(self) -> bool {
        self.denominator() & (self.denominator() - 1) == 0
    }

    /// Whether it is a whole number of times `unit`, which is more than nothing.
    pub fn is_multiple_of(self, unit: Self) -> bool {
        unit > Self::ZERO && *(self.0 / unit.0).denom() == 1
    }
}

impl From<Ratio<i64>> for Quarters {
    fn from(ratio: Ratio<i64>) -> Self {
        Self::of_wide(i128::from(*ratio.numer()), i128::from(*ratio.denom()))
    }
}

impl Add for Quarters {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self::kept(self.0 + other.0)
    }
}

impl AddAssign for Quarters {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Quarters {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self::kept(self.0 - other.0)
    }
}

impl Mul<Ratio<i64>> for Quarters {
    type Output = Self;

    fn mul(self, factor: Ratio<i64>) -> Self {
        let wide = |a: &i64, b: &i64| i128::from(*a) * i128::from(*b);
        let (above, below) = (
            wide(self.0.numer(), factor.numer()),
            wide(self.0.denom(), factor.denom()),
        );
        Self::of_wide(above, below)
    }
}

impl Sum for Quarters {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, Add::add)
    }
}

impl fmt::Display for Quarters {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn what_music_writes_is_exact() {
        let tick = Quarters::new(1, 32_767);
        assert_eq!(
            (0..32_767).map(|_| tick).sum::<Quarters>(),
            Quarters::whole(1)
        );
        let septuplet = Quarters::new(1, 16) * Ratio::new(4, 7);
        assert_eq!(septuplet, Quarters::new(1, 28));
        assert_eq!(Quarters::new(-3, 6).to_string(), "-1/2");
    }

    #[test]
    fn what_is_halved_for_ever_comes_to_nothing() {
        let mut length = Quarters::whole(1);
        for _ in 0..200 {
            length = length * Ratio::new(1, 2);
        }
        assert_eq!(length, Quarters::ZERO);
        let long = (0..200).fold(Quarters::whole(1), |length, _| length * Ratio::from(2));
        assert_eq!(long, Quarters::whole(LONGEST));
    }

    proptest! {
        #[test]
        fn no_two_lengths_lead_out_of_what_can_be_counted(
            (a, b, c, d) in (any::<i64>(), 1..i64::MAX, any::<i64>(), 1..i64::MAX),
        ) {
            let (one, other) = (Quarters::new(a, b), Quarters::new(c, d));
            for made in [one + other, one - other, one * other.ratio(), Quarters::from(one.ratio() + other.ratio())] {
                prop_assert!(made.denominator() <= FINEST);
                prop_assert!(made.ratio() <= Ratio::from(LONGEST) && made.ratio() >= Ratio::from(-LONGEST));
            }
            prop_assert!(other == Quarters::ZERO || Quarters::from(one.ratio() / other.ratio()).denominator() <= FINEST);
        }
    }
}
