//! The plain min-plus step: whole keys, pair by pair, with the way back. For small layers nothing is
//! faster.

use super::cost::NEVER;
use std::hint::select_unpredictable;

/// How many near rows lie side by side.
const SIDE: usize = 8;

/// Entries of one column of so many rows; places without a row are zero.
pub(super) type Side = [i16; SIDE];

/// The longest row that is laid out by column.
pub(super) const LONGEST: usize = 6;

/// Lays rows of one length out by column: for every [`SIDE`] rows all their columns.
pub(super) fn lay_out<'r>(
    rows: impl Iterator<Item = &'r [i16]>,
    length: usize,
    sides: &mut Vec<Side>,
) {
    let start = sides.len();
    for (at, row) in rows.enumerate() {
        let block = start + at / SIDE * length;
        sides.resize(block + length, [0; SIDE]);
        for (side, &entry) in sides[block..].iter_mut().zip(row) {
            side[at % SIDE] = entry;
        }
    }
}

/// How a step is made into a key: (motion * 2^`shift` + largest) * `unit`.
#[derive(Clone, Copy)]
pub(super) struct Units {
    pub shift: u32,
    pub unit: u64,
}

/// out(u) = min over v of sum(v) + step(v, u), and for each u the first v that is best; says whether the
/// length is one the compiler was told of. No motion may be above [`u16::MAX`].
pub(super) fn plain(
    length: usize,
    near: &[Side],
    far: &[i16],
    units: Units,
    sums: &[u64],
    out: &mut [u64],
    ways: &mut [u32],
) -> bool {
    match length {
        1 => equal::<1>(near, far, units, sums, out, ways),
        2 => equal::<2>(near, far, units, sums, out, ways),
        3 => equal::<3>(near, far, units, sums, out, ways),
        4 => equal::<4>(near, far, units, sums, out, ways),
        5 => equal::<5>(near, far, units, sums, out, ways),
        6 => equal::<6>(near, far, units, sums, out, ways),
        _ => return false,
    }
    true
}

/// The steps from one far row to [`SIDE`] near ones are measured side by side; keys are compared one by
/// one, since the minimum of 64-bit numbers many at a time takes twice as long.
#[inline(never)]
fn equal<const N: usize>(
    near: &[Side],
    far: &[i16],
    units: Units,
    sums: &[u64],
    out: &mut [u64],
    ways: &mut [u32],
) {
    let near = near.as_chunks::<N>().0;
    let far = far.as_chunks::<N>().0.iter();
    for ((row, out), way) in far.zip(out).zip(ways) {
        let mut best = (NEVER, 0);
        let mut at = 0;
        for (columns, sums) in near.iter().zip(sums.chunks(SIDE)) {
            let (motion, largest) = steps(row, columns);
            for ((&sum, motion), largest) in sums.iter().zip(motion).zip(largest) {
                let step = (u64::from(motion) << units.shift) + u64::from(largest);
                let key = sum + step * units.unit;
                // Half of the rows are better than those before: no branch could foretell which.
                best = select_unpredictable(key < best.0, (key, at), best);
                at += 1;
            }
        }
        (*out, *way) = best;
    }
}

/// The motion and the largest single step from a row to each of those that lie side by side. A call by
/// itself: within the loop around it the compiler finds no lanes.
#[inline(never)]
fn steps<const N: usize>(row: &[i16; N], columns: &[Side; N]) -> ([u16; SIDE], [u16; SIDE]) {
    let (mut motion, mut largest) = ([0u16; SIDE], [0u16; SIDE]);
    for (column, &entry) in columns.iter().zip(row) {
        for side in 0..SIDE {
            let distance = column[side].abs_diff(entry);
            // It fits: whoever calls `plain` has seen to that.
            motion[side] = motion[side].wrapping_add(distance);
            largest[side] = largest[side].max(distance);
        }
    }
    (motion, largest)
}
