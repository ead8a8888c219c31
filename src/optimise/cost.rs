//! How two plans are compared, and how a cost is packed into one number.

use super::graph::Link;
use super::model::Extremes;
use super::plain::Units;
use super::{Edge, Model, Step};
use std::ops::Add;

/// The cost of a plan. Costs compare field by field in this order: a unit of effort outweighs any
/// difference in the fields below it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Cost {
    /// The motion of all steps together, and what the values cost by themselves at every visit.
    pub effort: u64,
    /// The largest single distances of all steps, added up.
    pub largest: u64,
    /// The rows' distances from the centre, added up, in half units.
    pub off_centre: u64,
}

impl Add for Cost {
    type Output = Cost;

    fn add(self, other: Cost) -> Cost {
        Cost {
            effort: self.effort + other.effort,
            largest: self.largest + other.largest,
            off_centre: self.off_centre + other.off_centre,
        }
    }
}

/// Greater than every key of a possible plan. Two of them still fit, so sums are clamped pair by pair.
pub(super) const NEVER: u64 = 1 << 62;

/// Two keys together, of which either may be [`NEVER`].
#[inline(always)]
pub(super) fn join(a: u64, b: u64) -> u64 {
    (a + b).min(NEVER)
}

/// How the three components of a cost share the 64 bits of a key: effort in the highest bits, the
/// distance from the centre in the lowest. Or effort alone.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    effort: u32,
    largest: u32,
    /// Whether the components below effort are in the key at all.
    pub full: bool,
}

impl Scale {
    /// Keys of effort alone.
    pub const EFFORT: Scale = Scale {
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
    pub fn of(model: &Model, scope: usize, weighted: bool) -> Option<Scale> {
        let (most, excess) = bounds(model, scope, weighted)?;
        let bits = |sum: u64| 64 - sum.leading_zeros();
        let scale = Scale {
            largest: bits(most[2]),
            effort: bits(most[2]) + bits(most[1]),
            full: true,
        };
        (scale.effort + bits(excess) + 2 <= 61).then_some(scale)
    }

    /// Whether keys of effort alone fit.
    pub fn effort_fits(model: &Model) -> Option<()> {
        let (most, _) = bounds(model, 0, true)?;
        (most[0] < 1 << 59).then_some(())
    }

    /// How a step over a link is made into a key.
    #[inline(always)]
    pub fn units(self, link: &Link) -> Units {
        Units {
            shift: self.effort - self.largest,
            unit: link.count << self.largest,
        }
    }

    /// The key of a step taken over a link.
    #[inline(always)]
    pub fn step(self, link: &Link, taken: Step) -> u64 {
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

/// The most that each component of a cost can be, and how far efforts can lie apart where tables are counted
/// from their least entry; `None` where it doesn't fit.
fn bounds(model: &Model, scope: usize, weighted: bool) -> Option<([u64; 3], u64)> {
    let (mut most, mut share) = ([0u64; 3], Vec::with_capacity(model.variables().len()));
    for (index, variable) in model.variables().iter().enumerate() {
        let extremes = &model.domain_of(index as u32).extremes;
        let own = variable.visits.checked_mul(extremes.effort)?;
        let off_centre = variable.visits.checked_mul(extremes.off_centre)?;
        share.push(own);
        most = added(most, [own, 0, off_centre])?;
    }
    let mut free = !weighted;
    for edge in model.edges().iter().filter(|edge| edge.from != edge.to) {
        let [motion, largest] = farthest(model, edge)?;
        most = added(most, [motion, largest, 0])?;
        for end in [edge.from, edge.to] {
            share[end] = share[end].checked_add(motion)?;
        }
        free &= !edge.bounded && edge.rule.is_free();
    }
    let largest_share = share.into_iter().max().unwrap_or(0);
    let excess = if free {
        most[0].min(largest_share.checked_mul(scope as u64 + 2)?)
    } else {
        most[0]
    };
    Some((most, excess))
}

fn added(a: [u64; 3], b: [u64; 3]) -> Option<[u64; 3]> {
    let [x, y, z] = [0, 1, 2].map(|at| a[at].checked_add(b[at]));
    Some([x?, y?, z?])
}

/// The most that all takings of an edge can add to the motion, and to the largest steps.
///
/// With every entry between the lowest and the highest of both ends, the pairing that goes in order and
/// sends all that the longer row has left to the shorter row's last entry moves no more than the span
/// for each entry of the longer row; the least pairing costs no more than this one.
fn farthest(model: &Model, edge: &Edge) -> Option<[u64; 2]> {
    let [a, b] = [edge.from, edge.to].map(|end| model.domain_of(end as u32).extremes);
    let span = span(&a, &b).checked_mul(edge.count)?;
    Some([span.checked_mul(a.longest.max(b.longest))?, span])
}

/// How far apart the entries of two domains lie at the most.
pub(super) fn span(a: &Extremes, b: &Extremes) -> u64 {
    let (low, high) = (a.lowest.min(b.lowest), a.highest.max(b.highest));
    u64::from(high.abs_diff(low))
}
