//! One step of the dynamic programme: from the values of one layer to those
//! of its neighbour.
//!
//! For every candidate i of the target, the least of value(j) + step(i, j)
//! over all candidates j of the source, plus i's own distance from the centre.
//!
//! [`plainly`] does it pair by pair. [`by_motion`] does the same in two strokes:
//! it computes motions alone, in bytes, many pairs at a time, and then
//! looks at the whole cost of only those pairs whose motion is least. That is
//! exact because motion is the first field of a cost.
//!
//! Bytes suffice because only the least motion is wanted. All of them are
//! counted from the least motion in the source, and a sum that goes beyond
//! [`FAR`] stays there: if the least is below it, what lies beyond doesn't
//! matter, and if it isn't (far leaps, or nothing possible), the row is done plainly.

use super::columns::{Columns, LANES, LONGEST};
use super::cost::{BELOW_MOTION, IMPOSSIBLE, Key, motion_of, step_key};
use super::packed::Packed;
use super::{Step, StepRule, step};

/// Where sums of motions end.
const FAR: u8 = u8::MAX;

/// Working memory of [`relax`], kept between calls.
#[derive(Default)]
pub(super) struct Scratch {
    /// By how much the motion of the source's candidates exceeds the least.
    excess: Vec<u8>,
    /// The motions of one target row, excess included.
    motion: Vec<u8>,
    /// Where the least of them stand.
    least: Vec<u32>,
}

/// The edge over which values travel.
#[derive(Clone, Copy)]
pub(super) struct Edge<'a> {
    pub(super) packed: &'a Packed,
    pub(super) columns: Option<&'a Columns>,
    pub(super) source: usize,
    pub(super) target: usize,
    pub(super) rule: StepRule,
}

/// Fills `out` with the target's values; says whether any of them is possible.
pub(super) fn relax(
    edge: Edge<'_>,
    values: &[Key],
    out: &mut [Key],
    scratch: &mut Scratch,
) -> bool {
    match edge.columns {
        Some(columns) if edge.rule.is_free() => by_motion(edge, columns, values, out, scratch),
        _ => {
            for (target, out) in edge.packed.span(edge.target).zip(&mut *out) {
                *out = plainly(edge, target, values);
            }
        }
    }
    out.iter().any(|&value| value < IMPOSSIBLE)
}

fn plainly(edge: Edge<'_>, target: usize, values: &[Key]) -> Key {
    let row = edge.packed.row(target);
    let sources = edge.packed.span(edge.source).zip(values);
    let onward =
        sources.map(|(source, &value)| pair_key(row, edge.packed.row(source), edge.rule, value));
    let best = onward.min().unwrap_or(IMPOSSIBLE);
    (best + edge.packed.off_centre[target]).min(IMPOSSIBLE)
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

fn by_motion(
    edge: Edge<'_>,
    columns: &Columns,
    values: &[Key],
    out: &mut [Key],
    scratch: &mut Scratch,
) {
    find_excess(edge, columns, values, scratch);
    for (target, out) in edge.packed.span(edge.target).zip(out) {
        let row = columns.row(edge.packed, target);
        let least = motions(edge, columns, row, scratch);
        *out = if least < FAR {
            let best = best_of_least(edge, columns, target, values, scratch, least);
            best + edge.packed.off_centre[target]
        } else {
            plainly(edge, target, values)
        };
    }
}

fn find_excess(edge: Edge<'_>, columns: &Columns, values: &[Key], scratch: &mut Scratch) {
    let least = motion_of(values.iter().copied().min().unwrap_or(IMPOSSIBLE));
    scratch.excess.clear();
    for group in columns.groups(edge.source) {
        let end = scratch.excess.len() + group.lanes;
        let above = columns.candidates(group).iter().map(|&candidate| {
            let value = values[candidate as usize];
            // Of an impossible value the motion is beyond all others, unless
            // nothing is possible.
            let above = motion_of(value) - least;
            if value < IMPOSSIBLE {
                u8::try_from(above).unwrap_or(FAR)
            } else {
                FAR
            }
        });
        scratch.excess.extend(above);
        scratch.excess.resize(end, FAR);
    }
    scratch.motion.resize(scratch.excess.len(), 0);
}

/// The motions from one row to every candidate, and the least of them.
fn motions(edge: Edge<'_>, columns: &Columns, row: &[u8], scratch: &mut Scratch) -> u8 {
    let mut least = FAR;
    let mut start = 0;
    for group in columns.groups(edge.source) {
        let cells = columns.cells(group);
        let excess = &scratch.excess[start..start + group.lanes];
        let out = &mut scratch.motion[start..start + group.lanes];
        let group_least = match (row.len(), group.length) {
            (1, 1) => in_order::<1>(row, cells, excess, out),
            (2, 2) => in_order::<2>(row, cells, excess, out),
            (3, 3) => in_order::<3>(row, cells, excess, out),
            (4, 4) => in_order::<4>(row, cells, excess, out),
            (5, 5) => in_order::<5>(row, cells, excess, out),
            _ => in_general(row, cells, excess, out),
        };
        least = least.min(group_least);
        start += group.lanes;
    }
    least
}

fn best_of_least(
    edge: Edge<'_>,
    columns: &Columns,
    target: usize,
    values: &[Key],
    scratch: &mut Scratch,
    least: u8,
) -> Key {
    let first = edge.packed.span(edge.source).start;
    let mut best = IMPOSSIBLE;
    let mut start = 0;
    for group in columns.groups(edge.source) {
        let candidates = columns.candidates(group);
        let motions = &scratch.motion[start..start + group.lanes];
        places(motions, least, &mut scratch.least);
        for &lane in &scratch.least {
            let candidate = candidates[lane as usize] as usize;
            // All motions are the same here, so the fields below decide.
            if best == IMPOSSIBLE || (values[candidate] & BELOW_MOTION) < (best & BELOW_MOTION) {
                let key = step_of_motion(edge, columns, target, first + candidate);
                best = best.min(values[candidate] + key);
            }
        }
        start += group.lanes;
    }
    best
}

/// The key of a step; between rows of equal length from their bytes.
#[inline(always)]
fn step_of_motion(edge: Edge<'_>, columns: &Columns, a: usize, b: usize) -> Key {
    let (x, y) = (columns.row(edge.packed, a), columns.row(edge.packed, b));
    if x.len() != y.len() {
        return step_key(step(edge.packed.row(a), edge.packed.row(b)));
    }
    let pairs = x.iter().zip(y).map(|(&x, &y)| u32::from(distance(x, y)));
    let (mut motion, mut largest) = (0, 0);
    for distance in pairs {
        motion += distance;
        largest = largest.max(distance);
    }
    step_key(Step { motion, largest })
}

/// All places at which `wanted` stands, found eight bytes at a time.
///
/// Not inlined: the loop is hot, and needs the registers for itself.
#[inline(never)]
fn places(bytes: &[u8], wanted: u8, found: &mut Vec<u32>) {
    const LOW: u64 = 0x7F7F_7F7F_7F7F_7F7F;
    let wanted = u64::from_ne_bytes([wanted; 8]);
    found.clear();
    let mut start = 0;
    for bytes in bytes.as_chunks::<8>().0 {
        let difference = u64::from_le_bytes(*bytes) ^ wanted;
        // The high bit of each byte that is zero, and nothing else: adding can't carry
        // from a byte whose high bit is masked.
        let mut zeros = !(((difference & LOW) + LOW) | difference | LOW);
        while zeros != 0 {
            found.push(start + zeros.trailing_zeros() / 8);
            zeros &= zeros - 1;
        }
        start += 8;
    }
}

/// The motions to rows of the same length. With the number of entries known
/// and no index that could be out of bounds, the compiler makes vector
/// instructions of the loop over the lanes and keeps the sums in registers.
#[inline(never)]
fn in_order<const N: usize>(row: &[u8], cells: &[u8], excess: &[u8], out: &mut [u8]) -> u8 {
    let mut entries = [0; N];
    entries.copy_from_slice(row);
    let cells = cells.as_chunks::<LANES>().0;
    let excess = excess.as_chunks::<LANES>().0;
    let out = &mut out.as_chunks_mut::<LANES>().0[..excess.len()];
    let mut least = [FAR; LANES];
    for block in 0..excess.len() {
        let columns = std::array::from_fn(|entry| &cells[entry * excess.len() + block]);
        one_block::<N>(
            &entries,
            columns,
            &excess[block],
            &mut out[block],
            &mut least,
        );
    }
    least_of(&least)
}

#[inline(always)]
fn one_block<const N: usize>(
    row: &[u8; N],
    columns: [&[u8; LANES]; N],
    excess: &[u8; LANES],
    out: &mut [u8; LANES],
    least: &mut [u8; LANES],
) {
    for lane in 0..LANES {
        let mut sum = excess[lane];
        for entry in 0..N {
            sum = sum.saturating_add(distance(row[entry], columns[entry][lane]));
        }
        out[lane] = sum;
        least[lane] = least[lane].min(sum);
    }
}

/// Halves the registers before it looks at single bytes.
#[inline(always)]
fn least_of(bytes: &[u8; LANES]) -> u8 {
    let mut half = [FAR; LANES / 2];
    let mut quarter = [FAR; LANES / 4];
    for (lane, half) in half.iter_mut().enumerate() {
        *half = bytes[lane].min(bytes[lane + LANES / 2]);
    }
    for (lane, quarter) in quarter.iter_mut().enumerate() {
        *quarter = half[lane].min(half[lane + LANES / 4]);
    }
    quarter.into_iter().fold(FAR, u8::min)
}

/// The motions to rows of another length, or of one that is not usual.
fn in_general(row: &[u8], cells: &[u8], excess: &[u8], out: &mut [u8]) -> u8 {
    let length = cells.len() / excess.len();
    let mut least = FAR;
    for start in (0..excess.len()).step_by(LANES) {
        let block = |entry: usize| &cells[entry * excess.len() + start..][..LANES];
        let motion = if row.len() == length {
            sorted(row, block)
        } else {
            with_doubling(row, length, block)
        };
        for (lane, motion) in motion.into_iter().enumerate() {
            let sum = motion.saturating_add(excess[start + lane]);
            out[start + lane] = sum;
            least = least.min(sum);
        }
    }
    least
}

fn sorted<'b>(row: &[u8], block: impl Fn(usize) -> &'b [u8]) -> [u8; LANES] {
    let mut sum = [0u8; LANES];
    for (index, &entry) in row.iter().enumerate() {
        for (sum, &other) in sum.iter_mut().zip(block(index)) {
            *sum = sum.saturating_add(distance(entry, other));
        }
    }
    sum
}

/// The doubling table of [`step`](super::step) for many rows at once, sums only.
fn with_doubling<'b>(row: &[u8], length: usize, block: impl Fn(usize) -> &'b [u8]) -> [u8; LANES] {
    let mut line = [[FAR; LANES]; LONGEST];
    let mut left = [FAR; LANES];
    for (index, &entry) in row.iter().enumerate() {
        // Before the first pair nothing has been moved; later nothing lies to
        // the left of the first column.
        let mut diagonal = [if index == 0 { 0 } else { FAR }; LANES];
        left = [FAR; LANES];
        for (place, cell) in line.iter_mut().enumerate().take(length) {
            let above = *cell;
            for (lane, &other) in block(place).iter().enumerate() {
                let best = above[lane].min(diagonal[lane]).min(left[lane]);
                left[lane] = best.saturating_add(distance(entry, other));
            }
            *cell = left;
            diagonal = above;
        }
    }
    left
}

/// One of the two differences is zero. `abs_diff` is the same, but is compiled
/// to 32-bit lanes.
#[inline(always)]
fn distance(a: u8, b: u8) -> u8 {
    a.saturating_sub(b) | b.saturating_sub(a)
}
