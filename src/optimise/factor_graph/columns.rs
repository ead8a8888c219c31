//! The rows of a domain by column, in bytes, laid out once with the domain.

/// How many rows are looked at side by side.
pub(in crate::optimise) const LANES: usize = 32;

/// One column of so many rows.
pub(in crate::optimise) type Block = [u8; LANES];

/// The longest row that is laid out, and the fewest rows.
pub(in crate::optimise) const LONGEST: usize = 6;
const FEWEST: usize = 8;

/// From where the entries of every column are counted: so far below the middle of some rows that other
/// rows may lie as far on both sides of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::optimise) struct Origin([i16; LONGEST]);

/// The greatest distance from the origin that can be doubled in a byte.
const REACH: i16 = 127;

/// The least and the greatest entry of every column.
pub(in crate::optimise) type ColumnEnds = [(i16, i16); LONGEST];

/// Rows of one length in doubled bytes, every column counted from its origin.
#[derive(Clone, Debug)]
pub(in crate::optimise) struct ByteColumns {
    /// The number of entries of a row.
    pub length: usize,
    /// How many rows there are.
    pub count: usize,
    pub ends: ColumnEnds,
    pub origin: Origin,
    /// For every [`LANES`] rows a block of each column, doubled; lanes without a row are zero.
    pub blocks: Vec<Block>,
    /// The same row by row, every byte four times.
    pub words: Vec<u32>,
    /// The sum of each row's bytes, not doubled, modulo 256.
    pub sums: Vec<Block>,
    /// By how much the effort of each row exceeds the least, at most 255.
    pub efforts: Vec<Block>,
    /// The least effort of a row.
    pub least: u32,
    /// Whether a row costs more.
    pub weighed: bool,
}

impl ByteColumns {
    /// Lays out rows given by their entries and their efforts; `None` if they are few, long or far apart.
    /// Rows that the origin doesn't reach set a new one.
    pub fn of(
        entries: &[i16],
        efforts: impl Iterator<Item = u32> + Clone,
        length: usize,
        origin: &mut Option<Origin>,
    ) -> Option<ByteColumns> {
        let count = entries.len().checked_div(length)?;
        if count < FEWEST || length > LONGEST {
            return None;
        }
        let ends = ends(entries, length);
        let near = origin.filter(|origin| origin.reaches(&ends[..length]));
        let own = near.unwrap_or_else(|| Origin::below(&ends));
        if !own.reaches(&ends[..length]) {
            return None;
        }
        *origin = Some(own);
        let blocks = count.div_ceil(LANES);
        let mut columns = ByteColumns {
            length,
            count,
            ends,
            origin: own,
            blocks: vec![[0; LANES]; blocks * length],
            words: Vec::with_capacity(entries.len()),
            sums: vec![[0; LANES]; blocks],
            efforts: vec![[0; LANES]; blocks],
            least: 0,
            weighed: false,
        };
        for (at, row) in entries.chunks_exact(length).enumerate() {
            columns.put(at, row);
        }
        columns.weigh(efforts);
        Some(columns)
    }

    /// Notes what the rows cost by themselves.
    fn weigh(&mut self, efforts: impl Iterator<Item = u32> + Clone) {
        self.least = efforts.clone().min().unwrap_or(0);
        self.weighed = efforts.clone().any(|effort| effort > self.least);
        for (place, effort) in self.efforts.as_flattened_mut().iter_mut().zip(efforts) {
            *place = u8::try_from(effort - self.least).unwrap_or(u8::MAX);
        }
    }

    fn put(&mut self, at: usize, row: &[i16]) {
        let (block, lane) = (at / LANES, at % LANES);
        let columns = &mut self.blocks[block * self.length..][..self.length];
        for ((column, &entry), &origin) in columns.iter_mut().zip(row).zip(&self.origin.0) {
            // From 0 to 127, as the origin reaches it.
            let byte = entry.wrapping_sub(origin) as u8;
            column[lane] = byte << 1;
            self.words.push(word(byte << 1));
            self.sums[block][lane] = self.sums[block][lane].wrapping_add(byte);
        }
    }
}

impl Origin {
    fn below(ends: &ColumnEnds) -> Origin {
        Origin(ends.map(|(low, high)| low.midpoint(high).saturating_sub(REACH / 2)))
    }

    fn reaches(&self, ends: &[(i16, i16)]) -> bool {
        let mut columns = ends.iter().zip(&self.0);
        columns
            .all(|((low, high), &origin)| *low >= origin && high.abs_diff(origin) <= REACH as u16)
    }

    /// How far these entries lie above the origin together, modulo 256.
    pub fn above(&self, entries: impl Iterator<Item = i16>) -> u8 {
        let above = entries.zip(&self.0);
        above.fold(0, |sum, (entry, &origin)| {
            sum.wrapping_add(entry.wrapping_sub(origin) as u8)
        })
    }
}

fn ends(entries: &[i16], length: usize) -> ColumnEnds {
    let mut ends = [(i16::MAX, i16::MIN); LONGEST];
    for row in entries.chunks_exact(length) {
        for ((low, high), &entry) in ends.iter_mut().zip(row) {
            (*low, *high) = ((*low).min(entry), (*high).max(entry));
        }
    }
    ends
}

/// A byte four times.
#[inline(always)]
pub(in crate::optimise) fn word(byte: u8) -> u32 {
    u32::from(byte) * 0x0101_0101
}
