//! The largest that the rows of a domain have.

use super::value::Value;

/// The largest that the rows of a domain have.
#[derive(Clone, Copy, Debug)]
pub(in crate::optimise) struct Extremes {
    pub lowest: i16,
    pub highest: i16,
    pub longest: u64,
    pub effort: u64,
    pub off_centre: u64,
    pub weight: u64,
}

impl Extremes {
    /// Those of no rows at all.
    pub const NONE: Extremes = Extremes {
        lowest: i16::MAX,
        highest: i16::MIN,
        longest: 0,
        effort: 0,
        off_centre: 0,
        weight: 0,
    };

    /// Takes the rows of another domain in.
    pub fn join(&mut self, other: &Extremes) {
        self.lowest = self.lowest.min(other.lowest);
        self.highest = self.highest.max(other.highest);
        self.longest = self.longest.max(other.longest);
        self.effort = self.effort.max(other.effort);
        self.off_centre = self.off_centre.max(other.off_centre);
        self.weight = self.weight.max(other.weight);
    }

    /// Takes one more row in.
    pub fn include(&mut self, value: &Value) {
        let entries = value.row.entries();
        if let (Some(&low), Some(&high)) = (entries.first(), entries.last()) {
            (self.lowest, self.highest) = (self.lowest.min(low), self.highest.max(high));
        }
        self.longest = self.longest.max(entries.len() as u64);
        self.effort = self.effort.max(value.effort.into());
        self.off_centre = self.off_centre.max(value.off_centre.into());
        self.weight = self.weight.max(value.weight.into());
    }
}

impl Default for Extremes {
    fn default() -> Extremes {
        Extremes::NONE
    }
}

/// How far apart the entries of two domains lie at the most.
pub(in crate::optimise) fn span(a: &Extremes, b: &Extremes) -> u64 {
    let (low, high) = (a.lowest.min(b.lowest), a.highest.max(b.highest));
    u64::from(high.abs_diff(low))
}
