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
    excess: Vec<Lanes>,
    /// The motions of one target row, excess included.
    motion: Vec<Lanes>,
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
    for block in edge.packed.blocks(edge.source) {
        let mut lanes = [far; LANES];
        for (lane, &candidate) in lanes.iter_mut().zip(&block.candidate).take(block.used) {
            let above = motion_of(values[candidate as usize]) - least;
            *lane =
                i16::try_from(above).map_or(far, |above| if above > reach { far } else { above });
        }
        scratch.excess.push(lanes);
    }
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
    scratch.motion.clear();
    let mut least = [i16::MAX; LANES];
    for (block, excess) in edge.packed.blocks(edge.source).iter().zip(&scratch.excess) {
        let columns = edge.packed.columns(block);
        let motion = match (row.len(), columns.len()) {
            (4, 4) => in_order(&row[..4], &columns[..4], excess),
            (3, 3) => in_order(&row[..3], &columns[..3], excess),
            (a, b) if a == b => in_order(row, columns, excess),
            _ => add(&with_doubling(row, columns), excess),
        };
        least = min(&least, &motion);
        scratch.motion.push(motion);
    }
    least.into_iter().min().unwrap_or(i16::MAX)
}

fn best_of_least(
    edge: Edge<'_>,
    row: &[i16],
    values: &[Key],
    scratch: &Scratch,
    least: i16,
) -> Key {
    let start = edge.packed.span(edge.source).start;
    let mut best = IMPOSSIBLE;
    for (block, motion) in edge.packed.blocks(edge.source).iter().zip(&scratch.motion) {
        if !motion
            .iter()
            .fold(false, |any, &motion| any | (motion == least))
        {
            continue;
        }
        for (&motion, &candidate) in motion.iter().zip(&block.candidate) {
            if motion == least {
                let other = edge.packed.row(start + candidate as usize);
                let value = values[candidate as usize];
                best = best.min(pair_key(row, other, StepRule::FREE, value));
            }
        }
    }
    best
}

#[inline(always)]
fn in_order(row: &[i16], columns: &[Lanes], excess: &Lanes) -> Lanes {
    let mut sum = *excess;
    for (&entry, column) in row.iter().zip(columns) {
        sum = add(&sum, &distance(entry, column));
    }
    sum
}

/// The doubling table of [`step`](super::step) for eight rows at once, sums
/// only. No cell exceeds the bound of a step, as each is the least pairing
/// of two shorter rows.
fn with_doubling(row: &[i16], columns: &[Lanes]) -> Lanes {
    let mut line = [[0; LANES]; LONGEST];
    for (index, &entry) in row.iter().enumerate() {
        let mut diagonal = [i16::MAX; LANES];
        let mut left = [i16::MAX; LANES];
        for (place, (cell, column)) in line.iter_mut().zip(columns).enumerate() {
            let above = if index == 0 { [i16::MAX; LANES] } else { *cell };
            let best = match (index, place) {
                (0, 0) => [0; LANES],
                _ => min(&min(&above, &diagonal), &left),
            };
            *cell = add(&best, &distance(entry, column));
            diagonal = above;
            left = *cell;
        }
    }
    line[columns.len() - 1]
}

// The additions and subtractions below can't wrap: entries lie within `reach`
// of each other, and three times `reach` was checked to fit.

#[inline(always)]
fn distance(entry: i16, column: &Lanes) -> Lanes {
    column.map(|other| entry.max(other).wrapping_sub(entry.min(other)))
}

#[inline(always)]
fn add(a: &Lanes, b: &Lanes) -> Lanes {
    std::array::from_fn(|lane| a[lane].wrapping_add(b[lane]))
}

#[inline(always)]
fn min(a: &Lanes, b: &Lanes) -> Lanes {
    std::array::from_fn(|lane| a[lane].min(b[lane]))
}
