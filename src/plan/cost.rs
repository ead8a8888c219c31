//! How two plans are compared, and which steps a plan may take.
//!
//! [`Cost`] is what callers see. Inside, three sums are packed into one
//! integer, so that adding and comparing are single operations; [`Bound`]
//! proves beforehand that no sum can run over into its neighbour.

use super::{Row, Step, Unsolvable};
use std::ops::Add;

/// The cost of a plan. Costs compare field by field in this order: a unit of
/// motion outweighs any difference in the fields below it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Cost {
    /// The motion of all steps together.
    pub motion: u64,
    /// The largest single distances of all steps, added up.
    pub largest: u64,
    /// The rows' distances from the centre, added up, in half units.
    pub off_centre: u64,
}

impl Add for Cost {
    type Output = Cost;

    fn add(self, other: Cost) -> Cost {
        Cost {
            motion: self.motion + other.motion,
            largest: self.largest + other.largest,
            off_centre: self.off_centre + other.off_centre,
        }
    }
}

/// A cost in one integer: motion in the high bits, then the largest steps,
/// then the distances from the centre in the low [`FIELD`] bits.
pub(super) type Key = u128;

const FIELD: u32 = 40;

/// Greater than every key of a possible plan; twice it still fits.
pub(super) const IMPOSSIBLE: Key = 1 << 126;

/// The key of one step, without the rows at its ends.
pub(super) fn step_key(step: Step) -> Key {
    (Key::from(step.motion) << (2 * FIELD)) | (Key::from(step.largest) << FIELD)
}

/// The key of one row standing alone.
pub(super) fn row_key(row: &Row, centre: i32) -> Key {
    off_centre_key(row.off_centre(centre))
}

/// The key of a distance from the centre alone.
pub(super) fn off_centre_key(off_centre: u64) -> Key {
    Key::from(off_centre)
}

/// The motion in a key.
pub(super) fn motion_of(key: Key) -> u64 {
    // At most 48 bits are left: the cast loses nothing.
    (key >> (2 * FIELD)) as u64
}

/// The key of a motion alone.
pub(super) fn motion_key(motion: u64) -> Key {
    Key::from(motion) << (2 * FIELD)
}

/// How many bits are left to each of two sums in [`below_motion`].
pub(super) const HALF: u32 = 32;

/// What decides between equal motions: the largest steps in the high half, the
/// distances from the centre in the low one. Nothing is lost if
/// [`Bound::is_short`].
pub(super) fn below_motion(key: Key) -> u64 {
    // The casts cut out the lowest 64 and 32 bits on purpose.
    (((key >> FIELD) as u64) << HALF) | u64::from(key as u32)
}

/// The part of a key that [`below_motion`] was made of.
pub(super) fn below_motion_key(below: u64) -> Key {
    (Key::from(below >> HALF) << FIELD) | Key::from(below as u32)
}

/// The key read back. Each field is cut out, so the casts lose nothing.
pub(super) fn unpack(key: Key) -> Cost {
    let field = (1 << FIELD) - 1;
    Cost {
        motion: motion_of(key),
        largest: ((key >> FIELD) & field) as u64,
        off_centre: (key & field) as u64,
    }
}

/// An upper bound of any plan's cost, collected before the sums are made.
///
/// With every entry between `lowest` and `highest` and at most `longest`
/// entries in a row, one step moves at most (`highest` - `lowest`) x `longest`:
/// so much costs, at most, the pairing that goes in order and sends all that
/// the longer row has left to the shorter row's last entry, and the least
/// pairing costs no more than this one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bound {
    lowest: i16,
    highest: i16,
    longest: usize,
    /// The sums of a row's ends, from the least to the greatest.
    ends: (i32, i32),
    centre: i32,
}

impl Bound {
    /// No rows yet; `centre` is what they are to lie around.
    pub(super) fn new(centre: i32) -> Bound {
        Bound {
            lowest: i16::MAX,
            highest: i16::MIN,
            longest: 0,
            ends: (i32::MAX, i32::MIN),
            centre,
        }
    }

    /// Extends the bound to a row.
    #[inline]
    pub(super) fn include(&mut self, row: &Row) {
        let entries = row.entries();
        if let (Some(&low), Some(&high)) = (entries.first(), entries.last()) {
            self.lowest = self.lowest.min(low);
            self.highest = self.highest.max(high);
            let ends = i32::from(low) + i32::from(high);
            self.ends = (self.ends.0.min(ends), self.ends.1.max(ends));
        }
        self.longest = self.longest.max(entries.len());
    }

    /// The farthest that a row lies from the centre.
    fn off_centre(&self) -> u64 {
        if self.longest == 0 {
            return 0;
        }
        let off = |ends: i32| (i64::from(ends) - i64::from(self.centre)).unsigned_abs();
        off(self.ends.0).max(off(self.ends.1))
    }

    /// The lowest entry of all.
    pub(super) fn lowest(&self) -> i16 {
        self.lowest
    }

    /// How far the entries lie apart.
    pub(super) fn span(&self) -> u64 {
        (i64::from(self.highest) - i64::from(self.lowest))
            .max(0)
            .unsigned_abs()
    }

    /// The greatest number of entries in a row.
    pub(super) fn longest(&self) -> usize {
        self.longest
    }

    /// The most that one step can move.
    pub(super) fn step_motion(&self) -> u64 {
        self.span() * self.longest as u64
    }

    /// Whether `length` steps and rows leave the sums below motion within
    /// [`HALF`] bits.
    pub(super) fn is_short(&self, length: u64) -> bool {
        let fits = |each: u64| u128::from(each) * u128::from(length) < 1 << HALF;
        fits(self.span()) && fits(self.off_centre())
    }

    /// Whether `steps` steps and `visits` rows fit the packed key: motion
    /// below 2^46 (so that a key stays under [`IMPOSSIBLE`]), the others
    /// below 2^40.
    pub(super) fn check(&self, steps: u64, visits: u64) -> Result<(), Unsolvable> {
        let fits =
            |each: u64, times: u64, bits: u32| u128::from(each) * u128::from(times) < 1 << bits;
        let fine = fits(self.step_motion(), steps, 46)
            && fits(self.span(), steps, FIELD)
            && fits(self.off_centre(), visits, FIELD);
        fine.then_some(()).ok_or(Unsolvable::TooLarge)
    }
}
