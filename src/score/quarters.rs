//! Lengths and places in quarter notes, as exact fractions.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Sub};

use num_rational::Ratio;

use crate::chart::{Beats, Meter};

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
        Self(Ratio::new(numerator, denominator.max(1)))
    }

    /// What so many beats of a meter last.
    pub fn of_beats(beats: Beats, meter: Meter) -> Self {
        Self(beats.ratio() * meter.quarters_in_beat().ratio())
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
        Self(ratio)
    }
}

impl Add for Quarters {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
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
        Self(self.0 - other.0)
    }
}

impl Mul<Ratio<i64>> for Quarters {
    type Output = Self;

    fn mul(self, factor: Ratio<i64>) -> Self {
        Self(self.0 * factor)
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
