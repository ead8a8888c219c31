//! Motions, and nothing else of a step, measured several at a time between rows of any lengths.
//!
//! No motion may be farther than [`FARTHEST`](crate::optimise::factor_graph::sides::FARTHEST).

use crate::optimise::factor_graph::sides::{SIDE, Side};

/// The motions from a row to rows of some length that lie side by side, and to as many more as fill the last side.
pub(super) fn motions(length: usize, row: &[i16], sides: &[Side], motions: &mut Vec<i16>) {
    match length {
        1 => motions_of::<1>(row, sides, motions),
        2 => motions_of::<2>(row, sides, motions),
        3 => motions_of::<3>(row, sides, motions),
        4 => motions_of::<4>(row, sides, motions),
        5 => motions_of::<5>(row, sides, motions),
        _ => motions_of::<6>(row, sides, motions),
    }
}

fn motions_of<const N: usize>(row: &[i16], sides: &[Side], motions: &mut Vec<i16>) {
    for columns in sides.as_chunks::<N>().0 {
        motions.extend_from_slice(&match <&[i16; N]>::try_from(row) {
            Ok(row) => in_order(row, columns),
            Err(_) => doubled(row, columns),
        });
    }
}

/// The motion from a row to each of those of its length that lie side by side.
#[inline(never)]
fn in_order<const N: usize>(row: &[i16; N], columns: &[Side; N]) -> Side {
    let mut motion = [0i16; SIDE];
    for (column, &entry) in columns.iter().zip(row) {
        for side in 0..SIDE {
            let distance = column[side].abs_diff(entry) as i16;
            motion[side] = motion[side].wrapping_add(distance);
        }
    }
    motion
}

/// The motion from a row to each of those of another length that lie side by side: the table of
/// [`step`](crate::optimise::step), whose cells hold the motion alone.
#[inline(never)]
fn doubled<const N: usize>(row: &[i16], columns: &[Side; N]) -> Side {
    const NEVER: Side = [i16::MAX; SIDE];
    let mut line = [NEVER; N];
    for (at, &entry) in row.iter().enumerate() {
        // What lies to the left in this line, and to the left in the one before.
        let (mut left, mut diagonal) = (if at == 0 { [0; SIDE] } else { NEVER }, NEVER);
        for (cell, column) in line.iter_mut().zip(columns) {
            let above = *cell;
            for side in 0..SIDE {
                let least = above[side].min(diagonal[side]).min(left[side]);
                cell[side] = least.wrapping_add(column[side].abs_diff(entry) as i16);
            }
            (diagonal, left) = (above, *cell);
        }
    }
    line[N - 1]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optimise::factor_graph::sides::{LONGEST, lay_out};
    use crate::optimise::step;
    use crate::optimise::tests::oracle::Dice;

    /// A row of up to [`LONGEST`] entries, strictly rising.
    fn row(dice: &mut Dice, length: usize) -> Vec<i16> {
        let mut last = 40 + dice.roll(20) as i16;
        let entries = (0..length).map(|_| {
            last += 1 + dice.roll(9) as i16;
            last
        });
        entries.collect()
    }

    #[test]
    fn motions_are_those_of_steps_whatever_the_lengths() {
        let mut dice = Dice::new(11);
        for (mine, length) in (1..=LONGEST).flat_map(|a| (1..=LONGEST).map(move |b| (a, b))) {
            for count in [1, SIDE, SIDE + 3] {
                let from = row(&mut dice, mine);
                let to: Vec<Vec<i16>> = (0..count).map(|_| row(&mut dice, length)).collect();
                let (mut sides, mut found) = (Vec::new(), Vec::new());
                lay_out(to.iter().map(Vec::as_slice), length, &mut sides);
                motions(length, &from, &sides, &mut found);
                let expected = to.iter().map(|to| step(&from, to).motion as i16);
                assert_eq!(found[..count], expected.collect::<Vec<_>>(), "{from:?}");
            }
        }
    }
}
