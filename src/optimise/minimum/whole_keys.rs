//! Steps measured several at a time, and the min-plus step over whole keys. For small layers nothing is
//! faster.

use super::key::{NEVER, STEP_BITS, Units};
use super::way::Way;
use crate::optimise::factor_graph::sides::{SIDE, Side};
use std::hint::select_unpredictable;

/// out(u) = min over v of sum(v) + step(v, u), and for each u the first v that is best. No step may move
/// farther than [`FARTHEST`](crate::optimise::factor_graph::sides::FARTHEST), here and in the other functions of this file.
///
/// Keys are compared one by one: the minimum of 64-bit numbers many at a time takes twice as long.
#[inline(always)]
pub(in crate::optimise) fn one_line<const N: usize>(
    near: &[Side],
    far: &[i16],
    units: Units,
    sums: &[u64],
    out: &mut [u64],
    ways: &mut [Way],
) {
    let near = near.as_chunks::<N>().0;
    for ((row, out), way) in far.as_chunks::<N>().0.iter().zip(out).zip(ways) {
        let mut best = (NEVER, 0u32);
        let mut at = 0;
        for (columns, sums) in near.iter().zip(sums.chunks(SIDE)) {
            let steps = steps(row, columns);
            for (&sum, step) in sums.iter().zip(steps) {
                let key = sum + key(step, units);
                // Half of the rows are better than those before: no branch could foretell which.
                best = select_unpredictable(key < best.0, (key, at), best);
                at += 1;
            }
        }
        (*out, *way) = (best.0, best.1 as Way);
    }
}

/// The same for several lines of sums, with as many near rows as lie side by side at the most: every step is
/// measured once.
#[inline(always)]
pub(in crate::optimise) fn few_rows<const N: usize>(
    near: &[Side; N],
    far: &[i16],
    units: Units,
    count: usize,
    sums: &[u64],
    (out, ways): (&mut [u64], &mut [Way]),
) {
    let far = far.as_chunks::<N>().0;
    for (at, row) in far.iter().enumerate() {
        let steps = steps(row, near);
        let mut keys = [0; SIDE];
        for (key, &step) in keys.iter_mut().zip(&steps[..count]) {
            *key = self::key(step, units);
        }
        let mut cell = at;
        for sums in sums.chunks_exact(count) {
            let mut best = (NEVER, 0u32);
            for ((&sum, &key), at) in sums.iter().zip(&keys).zip(0..) {
                best = select_unpredictable(sum + key < best.0, (sum + key, at), best);
            }
            (out[cell], ways[cell]) = (best.0, best.1 as Way);
            cell += far.len();
        }
    }
}

/// The keys of all pairs: for each far row its pairs with all near ones.
pub(in crate::optimise) fn keys<const N: usize>(
    near: &[Side],
    far: &[i16],
    units: Units,
    count: usize,
    keys: &mut Vec<u64>,
) {
    keys.clear();
    let near = near.as_chunks::<N>().0;
    for row in far.as_chunks::<N>().0 {
        let mut left = count;
        for columns in near {
            let steps = steps(row, columns);
            let few = left.min(SIDE);
            keys.extend(steps[..few].iter().map(|&step| key(step, units)));
            left -= few;
        }
    }
}

#[inline(always)]
fn key(step: u32, units: Units) -> u64 {
    let step = u64::from(step);
    if units.shift == STEP_BITS {
        return step * units.unit;
    }
    let (motion, largest) = (step >> STEP_BITS, step & ((1 << STEP_BITS) - 1));
    ((motion << units.shift) + largest) * units.unit
}

/// The motion from a row to each of those that lie side by side, in the upper half, and the largest single
/// distance, in the lower. A call by itself: within the loop around it the compiler finds no lanes.
#[inline(never)]
fn steps<const N: usize>(row: &[i16; N], columns: &[Side; N]) -> [u32; SIDE] {
    let (mut motion, mut largest) = ([0u16; SIDE], [0i16; SIDE]);
    for (column, &entry) in columns.iter().zip(row) {
        for side in 0..SIDE {
            let distance = column[side].abs_diff(entry);
            // It fits: whoever calls has seen to that. The greater of two signed numbers is cheaper to find.
            motion[side] = motion[side].wrapping_add(distance);
            largest[side] = largest[side].max(distance as i16);
        }
    }
    std::array::from_fn(|side| u32::from(motion[side]) << STEP_BITS | largest[side] as u32)
}
