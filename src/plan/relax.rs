//! One step of the dynamic programme: from the values of one layer to those
//! of its neighbour.
//!
//! For every candidate i of the target, the least of value(j) + step(i, j)
//! over all candidates j of the source, plus i's own distance from the centre;
//! and the first j that attains it.
//!
//! [`plainly`] does it pair by pair. [`by_motion`] does the same in two strokes:
//! it computes motions alone, in bytes, many pairs at a time, and then
//! looks at the whole cost of only those pairs whose motion is least. That is
//! exact because motion is the first field of a cost.
//!
//! # Why bytes suffice
//!
//! Only the least motion is wanted. All of them are counted from the least
//! motion in the source: what a source candidate has more than that is its
//! excess, and an excess above the group's cap is cut down to it.
//!
//! Let s be the true sum of excess and motion for a pair, and b the byte computed
//! for it. If nothing was cut, b = s; if something was (the excess to the cap,
//! or a saturating sum to 255, which is no less than the cap), both s and b are
//! at least the cap. So if the least b is below the cap, it is the least s, and
//! the pairs with this b are exactly those with this s. All other pairs
//! have more motion and need not be looked at: no field below motion can make
//! up for it. If the least b is not below the cap (far leaps, or nothing
//! possible), the row is done pair by pair.
//!
//! # What is not done
//!
//! Stopping early, with the source sorted by excess, would skip whatever has
//! more excess than the best sum. In the bench with its 128 random candidates in a layer that is
//! 18% of the pairs (104 of 128 have to be looked at), which sorting costs
//! again; with 8 it is less.

use super::columns::{Block, Columns, Group};
use super::cost::{HALF, IMPOSSIBLE, Key, below_motion_key, motion_key, step_key};
use super::lanes::{by_minima, each_place, general, least_of, saturating};
use super::packed::Packed;
use super::{StepRule, step};
use std::ops::Range;

/// Working memory of [`relax`], kept between calls.
#[derive(Default)]
pub(super) struct Scratch {
    columns: Columns,
    sums: Vec<Block>,
}

/// The edge over which values travel.
#[derive(Clone, Copy)]
pub(super) struct Edge<'a> {
    pub(super) packed: &'a Packed,
    /// Whether the rows [fit](Columns::fit) columns.
    pub(super) fits: bool,
    pub(super) source: usize,
    pub(super) target: usize,
    pub(super) rule: StepRule,
}

/// What is best for a target candidate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Best {
    /// What it costs to go on from here.
    pub(super) value: Key,
    /// The first of the source's candidates with which it costs that.
    pub(super) next: u32,
}

impl Best {
    /// Nothing leads on.
    pub(super) const NONE: Best = Best {
        value: IMPOSSIBLE,
        next: u32::MAX,
    };

    #[inline(always)]
    fn or(self, value: Key, next: u32) -> Best {
        let better = value < self.value || (value == self.value && next < self.next);
        if better { Best { value, next } } else { self }
    }
}

/// Fills `out` with what is best for the target's candidates; says whether
/// any of them is possible.
pub(super) fn relax(
    edge: Edge<'_>,
    values: &[Key],
    out: &mut Vec<Best>,
    scratch: &mut Scratch,
) -> bool {
    out.clear();
    let targets = edge.packed.span(edge.target);
    if edge.fits && edge.rule.is_free() {
        out.resize(targets.len(), Best::NONE);
        by_motion(edge, values, out, scratch);
    } else {
        out.extend(targets.map(|target| plainly(edge, target, values)));
    }
    out.iter().any(|best| best.value < IMPOSSIBLE)
}

fn plainly(edge: Edge<'_>, target: usize, values: &[Key]) -> Best {
    let row = edge.packed.row(target);
    let off_centre = edge.packed.off_centre(target);
    let sources = edge.packed.span(edge.source).zip(values);
    let mut best = Best::NONE;
    for (index, (source, &value)) in sources.enumerate() {
        let whole = pair_key(row, edge.packed.row(source), edge.rule, value);
        if whole < IMPOSSIBLE {
            // An index in a layer, which is counted in 32 bits: see `Packed`.
            best = best.or(whole + off_centre, index as u32);
        }
    }
    best
}

/// The value of going on from one row to another, or [`IMPOSSIBLE`].
#[inline]
pub(super) fn pair_key(row: &[i16], other: &[i16], rule: StepRule, value: Key) -> Key {
    let taken = step(row, other);
    if value < IMPOSSIBLE && (rule.is_free() || rule.allows(row, other, taken)) {
        value + step_key(taken)
    } else {
        IMPOSSIBLE
    }
}

/// Group by group of the source; the best of all groups is the best.
fn by_motion(edge: Edge<'_>, values: &[Key], out: &mut [Best], scratch: &mut Scratch) {
    let Scratch { columns, sums } = scratch;
    columns.fill(edge.packed, edge.source, values);
    let targets = edge.packed.span(edge.target);
    for group in columns.groups(edge.packed, edge.source) {
        sums.resize(group.excess.len(), Block::of(0));
        let from = Source {
            edge,
            group,
            values,
            least: columns.least,
        };
        let mut start = 0;
        while start < out.len() {
            let first = targets.start + start;
            let (count, length) = edge.packed.alike(edge.target, first);
            let out = &mut out[start..start + count];
            from.run(length, first..first + count, out, sums);
            start += count;
        }
    }
}

/// One group of the source.
#[derive(Clone, Copy)]
struct Source<'a> {
    edge: Edge<'a>,
    group: Group<'a>,
    values: &'a [Key],
    least: u64,
}

impl Source<'_> {
    /// Does neighbouring targets of the same length.
    fn run(self, length: usize, targets: Range<usize>, out: &mut [Best], sums: &mut [Block]) {
        match (length, self.group.length) {
            (1, 1) => self.in_order::<1>(targets, out, sums),
            (2, 2) => self.in_order::<2>(targets, out, sums),
            (3, 3) => self.in_order::<3>(targets, out, sums),
            (4, 4) => self.in_order::<4>(targets, out, sums),
            (5, 5) => self.in_order::<5>(targets, out, sums),
            (6, 6) => self.in_order::<6>(targets, out, sums),
            _ => self.in_general(targets, out, sums),
        }
    }

    fn in_order<const N: usize>(self, targets: Range<usize>, out: &mut [Best], sums: &mut [Block]) {
        let lowest = self.edge.packed.bound.lowest();
        let rows = self.edge.packed.entries(targets.clone()).as_chunks::<N>().0;
        let others = self.group.entries.as_chunks::<N>().0;
        for ((target, entries), out) in targets.zip(rows).zip(out) {
            // Between 0 and 255: see `Columns::fit`.
            let row = entries.map(|entry| entry.wrapping_sub(lowest) as u8);
            let lanes = if self.group.cap < u8::MAX {
                by_minima(&row, &self.group, sums)
            } else {
                saturating(&row, &self.group, sums)
            };
            let least = least_of(&lanes);
            if least < self.group.cap {
                let largest = |index: usize| {
                    let other = others.get(index);
                    other.map_or(0, |other| largest_in_order(entries, other))
                };
                self.offer(out, entries, least, &lanes, sums, largest);
            } else {
                self.offer_plainly(out, target);
            }
        }
    }

    fn in_general(self, targets: Range<usize>, out: &mut [Best], sums: &mut [Block]) {
        let packed = self.edge.packed;
        let lowest = packed.bound.lowest();
        let others = self.group.entries.chunks_exact(self.group.length);
        let mut bytes = Vec::new();
        for (target, out) in targets.zip(out) {
            let row = packed.row(target);
            bytes.clear();
            bytes.extend(row.iter().map(|entry| entry.wrapping_sub(lowest) as u8));
            let lanes = general(&bytes, &self.group, sums);
            let least = least_of(&lanes);
            if least < self.group.cap {
                let largest = |index: usize| {
                    let other = others.clone().nth(index);
                    other.map_or(0, |other| step(row, other).largest)
                };
                self.offer(out, row, least, &lanes, sums, largest);
            } else {
                self.offer_plainly(out, target);
            }
        }
    }

    /// The best of the pairs whose motion is least.
    #[inline(always)]
    fn offer(
        &self,
        out: &mut Best,
        row: &[i16],
        least: u8,
        lanes: &Block,
        sums: &[Block],
        largest: impl Fn(usize) -> u32,
    ) {
        let mut best = (u64::MAX, usize::MAX);
        each_place(sums, lanes, least, |index| {
            let below = self.group.below.get(index).copied().unwrap_or(u64::MAX);
            let whole = below.saturating_add(u64::from(largest(index)) << HALF);
            if whole < best.0 || (whole == best.0 && index < best.1) {
                best = (whole, index);
            }
        });
        if let Some(&place) = self.group.candidates.get(best.1) {
            let motion = motion_key(self.least + u64::from(least));
            let value = motion + below_motion_key(best.0) + self.edge.packed.off_centre_of(row);
            *out = out.or(value, place);
        }
    }

    /// The group's rows pair by pair.
    #[cold]
    fn offer_plainly(&self, out: &mut Best, target: usize) {
        let packed = self.edge.packed;
        let others = self.group.entries.chunks_exact(self.group.length);
        for (&place, other) in self.group.candidates.iter().zip(others) {
            let value = self.values[place as usize];
            let whole = pair_key(packed.row(target), other, self.edge.rule, value);
            if whole < IMPOSSIBLE {
                *out = out.or(whole + packed.off_centre(target), place);
            }
        }
    }
}

/// The largest distance between rows of the same length, whose entries lie
/// less than 2^15 apart: see `Columns::fit`. (The greater of two signed
/// numbers is one instruction for a vector, that of unsigned ones isn't.)
#[inline(always)]
fn largest_in_order<const N: usize>(a: &[i16; N], b: &[i16; N]) -> u32 {
    let mut largest = 0i16;
    for entry in 0..N {
        let (low, high) = (a[entry].min(b[entry]), a[entry].max(b[entry]));
        largest = largest.max(high.wrapping_sub(low));
    }
    u32::from(largest.unsigned_abs())
}
