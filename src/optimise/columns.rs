//! The rows of a domain by column, in bytes, laid out once with the domain.

/// How many rows are looked at side by side.
pub(super) const LANES: usize = 32;

/// One column of so many rows.
pub(super) type Block = [u8; LANES];

/// The longest row that is laid out, and the fewest rows.
pub(super) const LONGEST: usize = 6;
const FEWEST: usize = 8;

/// Rows of one length, every column counted from its own least entry.
#[derive(Clone, Debug)]
pub(super) struct Columns {
    /// The least and the greatest entry of every column.
    pub ends: Vec<(i16, i16)>,
    /// How many rows there are.
    pub count: usize,
    /// For every [`LANES`] rows a block of each column; lanes without a row are zero.
    pub blocks: Vec<Block>,
    /// The same row by row.
    pub bytes: Vec<u8>,
    /// The sum of each row's bytes, modulo 256.
    pub sums: Vec<u8>,
}

impl Columns {
    /// Lays out rows given by their entries; `None` if they are few, long or far apart.
    pub fn of(entries: &[i16], length: usize) -> Option<Columns> {
        let count = entries.len().checked_div(length)?;
        if count < FEWEST || length > LONGEST {
            return None;
        }
        let mut ends = vec![(i16::MAX, i16::MIN); length];
        for row in entries.chunks_exact(length) {
            for ((low, high), &entry) in ends.iter_mut().zip(row) {
                (*low, *high) = ((*low).min(entry), (*high).max(entry));
            }
        }
        if ends.iter().any(|(low, high)| high.abs_diff(*low) > 255) {
            return None;
        }
        let mut blocks = vec![[0; LANES]; count.div_ceil(LANES) * length];
        let (mut bytes, mut sums) = (Vec::with_capacity(entries.len()), Vec::with_capacity(count));
        for (at, row) in entries.chunks_exact(length).enumerate() {
            let mut sum = 0u8;
            for ((column, &entry), (low, _)) in row.iter().enumerate().zip(&ends) {
                // Between 0 and 255, as was just seen.
                let byte = entry.wrapping_sub(*low) as u8;
                blocks[at / LANES * length + column][at % LANES] = byte;
                bytes.push(byte);
                sum = sum.wrapping_add(byte);
            }
            sums.push(sum);
        }
        Some(Columns {
            ends,
            count,
            blocks,
            bytes,
            sums,
        })
    }

    /// The number of entries of a row.
    pub fn length(&self) -> usize {
        self.ends.len()
    }
}
