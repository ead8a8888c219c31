//! The rows of a domain by column, several side by side, so that steps are measured several at a time.

/// How many rows lie side by side.
pub(in crate::optimise) const SIDE: usize = 8;

/// Entries of one column of so many rows; places without a row are zero.
pub(in crate::optimise) type Side = [i16; SIDE];

/// The longest row that is laid out by column.
pub(in crate::optimise) const LONGEST: usize = 6;

/// The longest step that can be measured many at a time.
pub(in crate::optimise) const FARTHEST: u64 = i16::MAX as u64;

/// Lays rows of one length out by column: for every [`SIDE`] rows all their columns.
pub(in crate::optimise) fn lay_out<'r>(
    rows: impl Iterator<Item = &'r [i16]>,
    length: usize,
    sides: &mut Vec<Side>,
) {
    let start = sides.len();
    for (at, row) in rows.enumerate() {
        let block = start + at / SIDE * length;
        if at % SIDE == 0 {
            sides.resize(block + length, [0; SIDE]);
        }
        for (side, &entry) in sides[block..].iter_mut().zip(row) {
            side[at % SIDE] = entry;
        }
    }
}
