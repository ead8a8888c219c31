//! Motions, and nothing else of a step, measured several at a time between rows of any lengths.
//!
//! No motion may be farther than [`FARTHEST`](crate::optimise::factor_graph::sides::FARTHEST).

use crate::optimise::factor_graph::sides::{SIDE, Side};

/// The motions from a row to rows of some length that lie side by side, and to as many more as fill the last side.
pub(in crate::optimise) fn motions(
    length: usize,
    row: &[i16],
    sides: &[Side],
    motions: &mut Vec<i16>,
) {
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
