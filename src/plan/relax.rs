//! One step of the dynamic programme: from the values of one layer to those
//! of its neighbour.
//!
//! For every candidate i of the target, the least of value(j) + step(i, j)
//! over all candidates j of the source, plus i's own distance from the centre.
//!
//! [`plainly`] does it pair by pair. [`by_motion`] does the same in two strokes:
//! it computes motions alone, eight pairs at a time in 16-bit lanes, and then
//! looks at the whole cost of only those pairs whose motion is least. That is
//! exact because motion is the first field of a cost.

use super::cost::{IMPOSSIBLE, Key, motion_of, step_key};
use super::packed::{LANES, Lanes, Packed};
use super::{StepRule, step};

/// The longest row that the lanes can pair with a row of another length.
const LONGEST: usize = 16;

/// Working memory of [`relax`], kept between calls.
#[derive(Default)]
pub(super) struct Scratch {
    /// By how much the motion of the source's candidates exceeds the least.
    excess: Vec<i16>,
    /// The motions of one target row, excess included.
    motion: Vec<i16>,
}

/// The edge over which values travel.
#[derive(Clone, Copy)]
pub(super) struct Edge<'a> {
    pub(super) packed: &'a Packed,
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
    match excess(edge, values, scratch) {
        Some(far) => by_motion(edge, values, out, scratch, far),
        None => plainly(edge, values, out),
    }
    out.iter().any(|&value| value < IMPOSSIBLE)
}

fn plainly(edge: Edge<'_>, values: &[Key], out: &mut [Key]) {
    let targets = edge.packed.span(edge.target);
    let sources = edge.packed.span(edge.source);
    for (target, out) in targets.zip(out) {
        let row = edge.packed.row(target);
        let onward = sources
            .clone()
            .zip(values)
            .map(|(source, &value)| pair_key(row, edge.packed.row(source), edge.rule, value));
        let best = onward.min().unwrap_or(IMPOSSIBLE);
        *out = (best + edge.packed.off_centre[target]).min(IMPOSSIBLE);
    }
}

/// The value of going on from one row to another, or [`IMPOSSIBLE`].
#[inline]
pub(super) fn pair_key(row: &[i16], other: &[i16], rule: StepRule, value: Key) -> Key {
    let taken = step(row, other);
    if value < IMPOSSIBLE && rule.allows(row, other, taken) {
        value + step_key(taken)
    } else {
        IMPOSSIBLE
    }
}

/// Prepares the lanes: each source candidate's motion above the least one.
/// `None` if 16 bits are too few or the edge has a rule.
///
/// Let `reach` be the most that one step can move. A candidate whose excess is
/// greater than `reach` loses to the candidate without excess from every row of
/// the target, so it and the impossible ones are put at `far` = 2 reach + 1,
/// beyond every possible sum. A sum is then at most 3 reach + 1.
fn excess(edge: Edge<'_>, values: &[Key], scratch: &mut Scratch) -> Option<i16> {
    let reach = i16::try_from(edge.packed.bound.step_motion()).ok()?;
    reach.checked_mul(3)?.checked_add(1)?;
    if !edge.rule.is_free() || edge.packed.bound.longest() > LONGEST {
        return None;
    }
    let far = 2 * reach + 1;
    let least = motion_of(values.iter().copied().min()?);
    scratch.excess.clear();
    for group in edge.packed.groups(edge.source) {
        let start = scratch.excess.len();
        scratch
            .excess
            .extend(edge.packed.candidates_of(group).iter().map(|&candidate| {
                let above = motion_of(values[candidate as usize]) - least;
                i16::try_from(above).map_or(far, |above| if above > reach { far } else { above })
            }));
        scratch.excess.resize(start + group.lanes, far);
    }
    scratch.motion.resize(scratch.excess.len(), 0);
    Some(far)
}

fn by_motion(edge: Edge<'_>, values: &[Key], out: &mut [Key], scratch: &mut Scratch, far: i16) {
    for (target, out) in edge.packed.span(edge.target).zip(out) {
        let row = edge.packed.row(target);
        let least = motions(edge, row, scratch);
        *out = if least < far {
            let best = best_of_least(edge, row, values, scratch, least);
            best + edge.packed.off_centre[target]
        } else {
            IMPOSSIBLE
        };
    }
}

/// The motions from one row to every candidate, and the least of them.
fn motions(edge: Edge<'_>, row: &[i16], scratch: &mut Scratch) -> i16 {
    let mut least = i16::MAX;
    let mut start = 0;
    for group in edge.packed.groups(edge.source) {
        let columns = edge.packed.columns(group);
        let excess = &scratch.excess[start..start + group.lanes];
        let out = &mut scratch.motion[start..start + group.lanes];
        let group_least = match (row, group.length) {
            (&[a], 1) => in_order(&[a], columns, excess, out),
            (&[a, b], 2) => in_order(&[a, b], columns, excess, out),
            (&[a, b, c], 3) => in_order(&[a, b, c], columns, excess, out),
            (&[a, b, c, d], 4) => in_order(&[a, b, c, d], columns, excess, out),
            (&[a, b, c, d, e], 5) => in_order(&[a, b, c, d, e], columns, excess, out),
            _ => in_general(row, columns, excess, out),
        };
        least = least.min(group_least);
        start += group.lanes;
    }
    least
}

fn best_of_least(
    edge: Edge<'_>,
    row: &[i16],
    values: &[Key],
    scratch: &Scratch,
    least: i16,
) -> Key {
    let first = edge.packed.span(edge.source).start;
    let mut best = IMPOSSIBLE;
    let mut start = 0;
    for group in edge.packed.groups(edge.source) {
        let motions = scratch.motion[start..start + group.lanes].chunks(LANES);
        let candidates = edge.packed.candidates_of(group).chunks(LANES);
        for (motions, candidates) in motions.zip(candidates) {
            if !motions
                .iter()
                .fold(false, |any, &motion| any | (motion == least))
            {
                continue;
            }
            for (_, &candidate) in motions
                .iter()
                .zip(candidates)
                .filter(|(motion, _)| **motion == least)
            {
                let other = edge.packed.row(first + candidate as usize);
                best = best.min(values[candidate as usize] + step_key(step(row, other)));
            }
        }
        start += group.lanes;
    }
    best
}

/// The motions to rows of the same length, with the number of entries known
/// to the compiler, which makes vector instructions of this loop.
#[inline(never)]
fn in_order<const N: usize>(
    row: &[i16; N],
    columns: &[i16],
    excess: &[i16],
    out: &mut [i16],
) -> i16 {
    let lanes = excess.len();
    let out = &mut out[..lanes];
    let columns: [&[i16]; N] = std::array::from_fn(|entry| &columns[entry * lanes..][..lanes]);
    let mut least = i16::MAX;
    for lane in 0..lanes {
        let mut sum = excess[lane];
        for entry in 0..N {
            sum = sum.wrapping_add(distance(row[entry], columns[entry][lane]));
        }
        out[lane] = sum;
        least = least.min(sum);
    }
    least
}

/// The motions to rows of another length, or of one that is not usual.
fn in_general(row: &[i16], columns: &[i16], excess: &[i16], out: &mut [i16]) -> i16 {
    let length = columns.len() / excess.len();
    let mut least = i16::MAX;
    for start in (0..excess.len()).step_by(LANES) {
        let mut block = [[0; LANES]; LONGEST];
        for (entry, lanes) in block.iter_mut().enumerate().take(length) {
            lanes.copy_from_slice(&columns[entry * excess.len() + start..][..LANES]);
        }
        let block = &block[..length];
        let motion = if row.len() == length {
            sorted(row, block)
        } else {
            with_doubling(row, block)
        };
        for lane in 0..LANES {
            let sum = motion[lane].wrapping_add(excess[start + lane]);
            out[start + lane] = sum;
            least = least.min(sum);
        }
    }
    least
}

fn sorted(row: &[i16], block: &[Lanes]) -> Lanes {
    let mut sum = [0i16; LANES];
    for (&entry, column) in row.iter().zip(block) {
        for lane in 0..LANES {
            sum[lane] = sum[lane].wrapping_add(distance(entry, column[lane]));
        }
    }
    sum
}

/// The doubling table of [`step`](super::step) for eight rows at once, sums
/// only. No cell exceeds the bound of a step, as each is the least pairing
/// of two shorter rows.
fn with_doubling(row: &[i16], block: &[Lanes]) -> Lanes {
    let mut line = [[i16::MAX; LANES]; LONGEST];
    for (index, &entry) in row.iter().enumerate() {
        // Before the first pair nothing has been moved; later, nothing is left of
        // the first column.
        let mut diagonal = [if index == 0 { 0 } else { i16::MAX }; LANES];
        let mut left = [i16::MAX; LANES];
        for (cell, column) in line.iter_mut().zip(block) {
            let above = *cell;
            for lane in 0..LANES {
                let best = above[lane].min(diagonal[lane]).min(left[lane]);
                left[lane] = best.wrapping_add(distance(entry, column[lane]));
            }
            *cell = left;
            diagonal = above;
        }
    }
    line[block.len() - 1]
}

/// Can't wrap, nor can the sums: entries lie within `reach` of each other, and
/// three times `reach` was checked to fit.
#[inline(always)]
fn distance(a: i16, b: i16) -> i16 {
    a.max(b).wrapping_sub(a.min(b))
}
