//! What it costs to move from one row to the next.
//!
//! This file knows two rows and nothing of plans; [`Cost`](super::cost::Cost) adds
//! steps up. The distance is the "taxicab" size of the least voice leading:
//! Tymoczko, "The Geometry of Musical Chords", Science 313 (2006), measures
//! voice leadings by the movement of the single voices and shows that a
//! crossing never makes them smaller.

/// The least movement between two rows.
///
/// The order of the fields is the order of comparison.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Step {
    /// How far all entries travel together.
    pub motion: u32,
    /// How far the entry travels that travels farthest; where several
    /// pairings share the least motion, the least such distance.
    pub largest: u32,
}

impl Step {
    /// The lesser of two, compared as one number.
    #[inline]
    fn lesser(self, other: Step) -> Step {
        let number = |step: Step| u64::from(step.motion) << 32 | u64::from(step.largest);
        if number(other) < number(self) {
            other
        } else {
            self
        }
    }

    #[inline]
    pub(in crate::optimise) fn join(self, distance: u32) -> Step {
        Step {
            motion: self.motion + distance,
            largest: self.largest.max(distance),
        }
    }
}

/// Moves every entry of `a` to some entry of `b` so that all of `b` is reached,
/// with the least total motion.
///
/// Rows of equal length are paired in order: the lowest with the lowest and so
/// on. With unequal lengths some entries of the shorter row split (or, seen
/// from the other side, some entries meet): every entry of both rows is in at
/// least one pair, and the sum over all pairs is least. Both rows must rise (equal
/// neighbours are allowed here); `step(a, b) == step(b, a)`. If one of them is
/// empty there is nothing to pair, and the step is zero.
///
/// # Why the table below is exact
///
/// Two pairs that cross can be uncrossed without making their sum or their
/// larger distance greater, so only pairings that keep the order need be
/// looked at; a smallest one walks from the pair of the lowest to the pair of
/// the highest entries by advancing in `a`, in `b` or in both. Each table cell
/// holds the least (sum, largest) of a walk that ends there. Comparing sums
/// first and largest distances second survives the next pair: of two walks
/// into a cell the lesser stays the lesser, or equal, once the same distance
/// is added to both sums and merged into both maxima. So one best walk per
/// cell is enough, in |a| times |b| steps.
///
/// # Examples
///
/// A common minor-seventh shape, one entry down by one, then five units over
/// three entries (Tymoczko's measure; the sums are computed):
///
/// ```
/// use compline::optimise::{Step, step};
///
/// let (two, five, one) = ([53, 57, 60, 64], [53, 57, 59, 64], [52, 55, 59, 62]);
/// assert_eq!(step(&two, &five), Step { motion: 1, largest: 1 });
/// assert_eq!(step(&five, &one), Step { motion: 5, largest: 2 });
/// // Three entries against four: 60 splits into 59 and 62.
/// assert_eq!(step(&[52, 55, 60], &one), Step { motion: 3, largest: 2 });
/// ```
#[inline]
pub fn step(a: &[i16], b: &[i16]) -> Step {
    if a.len() == b.len() {
        in_order(a, b)
    } else {
        with_doubling(a, b)
    }
}

#[inline]
fn in_order(a: &[i16], b: &[i16]) -> Step {
    let pairs = a.iter().zip(b);
    pairs.fold(Step::default(), |step, (&x, &y)| step.join(distance(x, y)))
}

fn with_doubling(a: &[i16], b: &[i16]) -> Step {
    let (Some((first, rest)), false) = (a.split_first(), b.is_empty()) else {
        return Step::default();
    };
    // Rows of hands are short: the table's line then needs no allocation.
    let mut short = [Step::default(); 16];
    let mut long = Vec::new();
    let line = if b.len() <= short.len() {
        &mut short[..b.len()]
    } else {
        long.resize(b.len(), Step::default());
        &mut long[..]
    };
    first_line(line, *first, b);
    for &x in rest {
        next_line(line, x, b);
    }
    line.last().copied().unwrap_or_default()
}

/// The lowest entry of `a` alone against ever more of `b`.
fn first_line(line: &mut [Step], x: i16, b: &[i16]) {
    let mut step = Step::default();
    for (cell, &y) in line.iter_mut().zip(b) {
        step = step.join(distance(x, y));
        *cell = step;
    }
}

fn next_line(line: &mut [Step], x: i16, b: &[i16]) {
    let (Some((first, line)), Some((y, b))) = (line.split_first_mut(), b.split_first()) else {
        return;
    };
    let mut diagonal = *first;
    *first = first.join(distance(x, *y));
    let mut left = *first;
    for (cell, &y) in line.iter_mut().zip(b) {
        let above = *cell;
        *cell = above.lesser(diagonal).lesser(left).join(distance(x, y));
        (diagonal, left) = (above, *cell);
    }
}

#[inline]
pub(in crate::optimise) fn distance(x: i16, y: i16) -> u32 {
    u32::from(x.abs_diff(y))
}
