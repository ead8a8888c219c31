//! How a cost is packed into one number.

use super::key::{STEP_BITS, Units};
use crate::optimise::elimination_order::adjacency::Adjacency;
use crate::optimise::factor_graph::cost::Cost;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::motion::Step;

/// How the three components of a cost share the 64 bits of a key: effort in the highest bits, the
/// distance from the centre in the lowest. Or effort alone.
#[derive(Clone, Copy, Debug)]
pub(in crate::optimise) struct KeyLayout {
    effort: u32,
    largest: u32,
    /// Whether the components below effort are in the key at all.
    pub full: bool,
}

impl KeyLayout {
    /// Keys of effort alone.
    pub const EFFORT: KeyLayout = KeyLayout {
        effort: 0,
        largest: 0,
        full: false,
    };

    /// The layout with the fewest bits for the lower components; `None` if a key might not fit.
    ///
    /// The lower components need room for their whole sums. Tables are counted from their least entry,
    /// so effort needs room only for what the terms at `scope` variables and one more can change. Where
    /// pairs are forbidden, and where weights are told apart, it may have to be the whole sum. Two bits
    /// more are for sums of two such parts and for a borrow from the components below.
    pub fn of(model: &Model, scope: usize, weighted: bool) -> Option<KeyLayout> {
        let most = &*model.totals();
        let excess = if most.free && !weighted {
            most.effort.min(most.share.checked_mul(scope as u64 + 2)?)
        } else {
            most.effort
        };
        let bits = |sum: u64| 64 - sum.leading_zeros();
        let (low, largest) = (bits(most.off_centre), bits(most.largest));
        let fits = |largest: u32| !most.too_large && low + largest + bits(excess) + 2 <= 61;
        // As many bits as a step is measured with spare it a shift, where there is room for them.
        let wide = largest.max(STEP_BITS);
        let largest = if fits(wide) { wide } else { largest };
        fits(largest).then_some(KeyLayout {
            largest: low,
            effort: low + largest,
            full: true,
        })
    }

    /// Whether keys of effort alone fit.
    pub fn effort_fits(model: &Model) -> bool {
        let totals = model.totals();
        !totals.too_large && totals.effort < 1 << 59
    }

    /// How a step over a link is made into a key.
    #[inline(always)]
    pub fn units(self, link: &Adjacency) -> Units {
        Units {
            shift: self.effort - self.largest,
            unit: link.count << self.largest,
        }
    }

    /// The key of a step taken over a link.
    #[inline(always)]
    pub fn step(self, link: &Adjacency, taken: Step) -> u64 {
        let largest = if self.full { taken.largest } else { 0 };
        let Units { shift, unit } = self.units(link);
        ((u64::from(taken.motion) << shift) + u64::from(largest)) * unit
    }

    /// The key of what a row costs by itself.
    #[inline(always)]
    pub fn own(self, visits: u64, (effort, off_centre): (u32, u32)) -> u64 {
        let low = if self.full {
            visits * u64::from(off_centre)
        } else {
            0
        };
        ((visits * u64::from(effort)) << self.effort) + low
    }

    /// The whole key of a plan read back. Each field is cut out.
    pub fn cost(self, key: u128) -> Cost {
        let field = |from: u32, to: u32| ((key >> from) & ((1 << (to - from)) - 1)) as u64;
        Cost {
            effort: (key >> self.effort) as u64,
            largest: field(self.largest, self.effort),
            off_centre: field(0, self.largest),
        }
    }
}
