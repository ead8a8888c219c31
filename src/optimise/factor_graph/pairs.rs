//! Which entry moves to which: the pairing whose size [`step`](super::motion::step) measures.
//!
//! The planner only needs the size. Whoever explains a plan needs the pairs, and pays for the whole
//! table of the search instead of one line of it.

use super::motion::{Step, distance};

/// A best pairing of two rows: (place in `a`, place in `b`), both rising. Its distances add up to
/// the [`motion`](Step::motion) of [`step`](super::motion::step), and the largest of them is its
/// [`largest`](Step::largest).
///
/// Among pairings of that size the one with fewer pairs is taken, then the one that keeps to the
/// upper entries of `a`: rows and nothing else decide. Empty if one of the rows is.
///
/// ```
/// use compline::optimise::pairs;
///
/// let (three, four) = ([52, 55, 60], [52, 55, 59, 62]);
/// assert_eq!(pairs(&three, &four), [(0, 0), (1, 1), (2, 2), (2, 3)]);
/// ```
pub fn pairs(a: &[i16], b: &[i16]) -> Vec<(usize, usize)> {
    if a.len() == b.len() {
        return (0..a.len()).map(|at| (at, at)).collect();
    }
    let table = table(a, b);
    let last = a.len().checked_sub(1).zip(b.len().checked_sub(1));
    let cell = |(i, j): (usize, usize)| table.get(i).and_then(|line| line.get(j));
    let walk = std::iter::successors(last, |&at| cell(at)?.before);
    let mut found: Vec<_> = walk.collect();
    found.reverse();
    found
}

/// The least walk that ends at a pair, and the pair before it.
#[derive(Clone, Copy)]
struct PairingCell {
    step: Step,
    before: Option<(usize, usize)>,
}

/// The table of [`step`](super::motion::step) with the way back kept in every cell.
fn table(a: &[i16], b: &[i16]) -> Vec<Vec<PairingCell>> {
    let mut table: Vec<Vec<PairingCell>> = Vec::with_capacity(a.len());
    for (i, &x) in a.iter().enumerate() {
        let mut line: Vec<PairingCell> = Vec::with_capacity(b.len());
        for (j, &y) in b.iter().enumerate() {
            let above = |j: usize| {
                let at = (i.checked_sub(1)?, j);
                Some((table.get(at.0)?.get(j)?.step, at))
            };
            let diagonal = j.checked_sub(1).and_then(above);
            let left = line.last().map(|cell| (cell.step, (i, j - 1)));
            let ways = [diagonal, above(j), left].into_iter().flatten();
            // The first of equals: both rows advance where that costs no more.
            let best = ways.min_by_key(|(step, _)| *step);
            let (step, before) = best.map_or((Step::default(), None), |(s, at)| (s, Some(at)));
            let step = step.join(distance(x, y));
            line.push(PairingCell { step, before });
        }
        table.push(line);
    }
    table
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::motion::step;
    use super::*;

    fn row() -> impl Strategy<Value = Vec<i16>> {
        prop::collection::btree_set(40i16..80, 1..6).prop_map(|set| set.into_iter().collect())
    }

    proptest! {
        #[test]
        fn the_pairs_are_as_large_as_the_step_says(a in row(), b in row()) {
            let found = pairs(&a, &b);
            let distances = found.iter().map(|&(i, j)| u32::from(a[i].abs_diff(b[j])));
            let size = Step { motion: distances.clone().sum(), largest: distances.max().unwrap() };
            prop_assert_eq!(size, step(&a, &b));
        }

        #[test]
        fn every_entry_is_in_a_pair_and_no_two_cross(a in row(), b in row()) {
            let found = pairs(&a, &b);
            prop_assert!((0..a.len()).all(|i| found.iter().any(|pair| pair.0 == i)));
            prop_assert!((0..b.len()).all(|j| found.iter().any(|pair| pair.1 == j)));
            prop_assert!(found.windows(2).all(|w| w[0].0 <= w[1].0 && w[0].1 <= w[1].1));
        }

        #[test]
        fn nothing_both_splits_and_meets(a in row(), b in row()) {
            let found = pairs(&a, &b);
            let shared = |i: usize, j: usize| {
                found.iter().filter(|pair| pair.0 == i).count() > 1
                    && found.iter().filter(|pair| pair.1 == j).count() > 1
            };
            prop_assert!(!found.iter().any(|&(i, j)| shared(i, j)));
        }
    }

    #[test]
    fn an_empty_row_has_no_pairs() {
        assert_eq!(pairs(&[], &[60]), []);
        assert_eq!(pairs(&[60], &[]), []);
    }

    #[test]
    fn two_notes_meet_where_that_is_nearest() {
        assert_eq!(
            pairs(&[57, 62, 63, 67], &[57, 63, 67]),
            [(0, 0), (1, 1), (2, 1), (3, 2)]
        );
    }
}
