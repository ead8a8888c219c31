//! One layer laid out as columns of bytes, for as long as values travel from it.
//!
//! Rows of the same length form a [`Group`]. A group's rows stand side by side
//! in blocks of [`LANES`] lanes: first the lowest entries of the block's rows, then
//! the next. The loops of [`lanes`](super::lanes) run along the blocks, and the
//! compiler turns them into vector instructions.
//!
//! The columns are laid out anew for every layer and every pass: that is a
//! few operations for each entry, against some for each pair of candidates, and it
//! takes no memory that grows with the chain.

use super::cost::{IMPOSSIBLE, Key, below_motion, motion_of};
use super::packed::Packed;
use std::ops::Range;

/// How many rows stand in a block: what a register of the plainest x86-64
/// machine holds in bytes.
pub(super) const LANES: usize = 16;

/// The longest row for which columns are made.
pub(super) const LONGEST: usize = 16;

/// A byte for each of some rows.
#[derive(Clone, Copy, Debug)]
#[repr(align(16))]
pub(super) struct Block(pub(super) [u8; LANES]);

impl Block {
    /// The same byte in all lanes.
    #[inline(always)]
    pub(super) const fn of(byte: u8) -> Block {
        Block([byte; LANES])
    }
}

/// The rows of one layer that have the same length.
#[derive(Clone, Debug)]
struct Span {
    length: usize,
    candidates: Range<usize>,
    blocks: Range<usize>,
    cells: Range<usize>,
}

/// What is known of a group's rows.
#[derive(Clone, Copy)]
pub(super) struct Group<'a> {
    /// How many entries each row has.
    pub(super) length: usize,
    /// The candidates' places in their layer, rising.
    pub(super) candidates: &'a [u32],
    /// What decides between equal motions, candidate by candidate.
    pub(super) below: &'a [u64],
    /// By how much the candidates' motion exceeds the least in the layer, at
    /// most `cap`; lanes without a candidate have `cap`.
    pub(super) excess: &'a [Block],
    /// The excess plus the sum of the row's bytes, modulo 256.
    pub(super) base: &'a [Block],
    /// The rows themselves, one after the other.
    pub(super) entries: &'a [i16],
    /// Their bytes: `length` blocks for every block of rows.
    pub(super) cells: &'a [Block],
    /// Where the excess ends.
    pub(super) cap: u8,
}

/// The columns of one layer.
#[derive(Default)]
pub(super) struct Columns {
    /// The least motion among the layer's values.
    pub(super) least: u64,
    groups: Vec<Span>,
    candidates: Vec<u32>,
    /// The entries of a layer whose rows had to be sorted.
    sorted: Vec<i16>,
    below: Vec<u64>,
    excess: Vec<Block>,
    base: Vec<Block>,
    cells: Vec<Block>,
}

impl Columns {
    /// Whether the rows fit columns: entries at most 255 apart, rows no longer
    /// than [`LONGEST`], and 32 bits for each sum that decides between equal motions.
    pub(super) fn fit(packed: &Packed) -> bool {
        let (bound, length) = (&packed.bound, packed.len() as u64);
        bound.span() <= u64::from(u8::MAX) && bound.longest() <= LONGEST && bound.is_short(length)
    }

    /// Lays out a layer and the values its candidates have.
    pub(super) fn fill(&mut self, packed: &Packed, layer: usize, values: &[Key]) {
        self.least = motion_of(values.iter().copied().min().unwrap_or(IMPOSSIBLE));
        self.clear();
        let span = packed.span(layer);
        self.candidates.extend(0..span.len() as u32);
        if packed.is_uniform(layer) {
            let entries = packed.entries(span);
            self.push_group(packed, entries, values);
        } else {
            self.fill_mixed(packed, span, values);
        }
    }

    /// Sorts the rows by length, and makes a group of each length.
    fn fill_mixed(&mut self, packed: &Packed, span: Range<usize>, values: &[Key]) {
        let row = |place: u32| packed.row(span.start + place as usize);
        self.candidates.sort_by_key(|&place| row(place).len()); // stable: order stays fixed
        let candidates = std::mem::take(&mut self.candidates);
        let mut sorted = std::mem::take(&mut self.sorted);
        sorted.extend(candidates.iter().flat_map(|&place| row(place)));
        let (mut rest, mut their_values) = (&sorted[..], Vec::new());
        for same in candidates.chunk_by(|&a, &b| row(a).len() == row(b).len()) {
            let entries = rest.split_off(..same.len() * row(same[0]).len());
            their_values.clear();
            their_values.extend(same.iter().map(|&place| values[place as usize]));
            self.push_group(packed, entries.unwrap_or_default(), &their_values);
        }
        (self.candidates, self.sorted) = (candidates, sorted);
    }

    fn clear(&mut self) {
        self.groups.clear();
        self.candidates.clear();
        self.sorted.clear();
        self.below.clear();
        self.excess.clear();
        self.base.clear();
        self.cells.clear();
    }

    /// Appends rows of one length, which are given by their entries.
    fn push_group(&mut self, packed: &Packed, entries: &[i16], values: &[Key]) {
        let length = entries.len() / values.len().max(1);
        let count = values.len().div_ceil(LANES);
        let group = Span {
            length,
            candidates: self.below.len()..self.below.len() + values.len(),
            blocks: self.excess.len()..self.excess.len() + count,
            cells: self.cells.len()..self.cells.len() + count * length,
        };
        self.push_values(values, cap(packed, length));
        self.base.extend(&self.excess[group.blocks.clone()]);
        self.cells.resize(group.cells.end, Block::of(0));
        let base = &mut self.base[group.blocks.clone()];
        let cells = &mut self.cells[group.cells.clone()];
        let lowest = packed.bound.lowest();
        match length {
            1 => turn::<1>(entries, lowest, base, cells),
            2 => turn::<2>(entries, lowest, base, cells),
            3 => turn::<3>(entries, lowest, base, cells),
            4 => turn::<4>(entries, lowest, base, cells),
            5 => turn::<5>(entries, lowest, base, cells),
            6 => turn::<6>(entries, lowest, base, cells),
            _ => turn_any(length, entries, lowest, cells),
        }
        self.groups.push(group);
    }

    fn push_values(&mut self, values: &[Key], cap: u8) {
        self.below
            .extend(values.iter().map(|&value| below_motion(value)));
        let least = self.least;
        self.excess.extend(values.chunks(LANES).map(|values| {
            let mut excess = Block::of(cap);
            for (excess, &value) in excess.0.iter_mut().zip(values) {
                // The motion of an impossible value is beyond all others,
                // unless nothing is possible.
                if value < IMPOSSIBLE {
                    *excess = (motion_of(value) - least).min(u64::from(cap)) as u8;
                }
            }
            excess
        }));
    }

    /// The groups of the layer that was laid out.
    pub(super) fn groups<'a>(
        &'a self,
        packed: &'a Packed,
        layer: usize,
    ) -> impl Iterator<Item = Group<'a>> {
        let mut rest = if packed.is_uniform(layer) {
            packed.entries(packed.span(layer))
        } else {
            &self.sorted
        };
        self.groups.iter().map(move |span| Group {
            length: span.length,
            candidates: &self.candidates[span.candidates.clone()],
            entries: rest
                .split_off(..span.candidates.len() * span.length)
                .unwrap_or_default(),
            below: &self.below[span.candidates.clone()],
            excess: &self.excess[span.blocks.clone()],
            base: &self.base[span.blocks.clone()],
            cells: &self.cells[span.cells.clone()],
            cap: cap(packed, span.length),
        })
    }
}

/// Where the excess must end so that, with the motion between two rows of this
/// length, it stays within a byte; or the greatest byte if too little would
/// be left.
fn cap(packed: &Packed, length: usize) -> u8 {
    let most = packed.bound.span().saturating_mul(length as u64);
    let left = u64::from(u8::MAX).saturating_sub(most);
    u8::try_from(left)
        .ok()
        .filter(|&left| left >= 64)
        .unwrap_or(u8::MAX)
}

/// Turns rows of bytes into columns, and adds their sums to the base.
#[inline(always)]
fn turn<const N: usize>(entries: &[i16], lowest: i16, base: &mut [Block], cells: &mut [Block]) {
    let rows = entries.as_chunks::<N>().0.chunks(LANES);
    let columns = cells.as_chunks_mut::<N>().0;
    for ((rows, columns), base) in rows.zip(columns).zip(base) {
        for (lane, row) in rows.iter().enumerate() {
            for (column, entry) in columns.iter_mut().zip(row) {
                // Between 0 and 255: see `Columns::fit`.
                column.0[lane % LANES] = entry.wrapping_sub(lowest) as u8;
            }
        }
        for column in columns {
            for (base, &entry) in base.0.iter_mut().zip(&column.0) {
                *base = base.wrapping_add(entry);
            }
        }
    }
}

/// The same for unusual lengths, for which the base isn't needed.
fn turn_any(length: usize, entries: &[i16], lowest: i16, cells: &mut [Block]) {
    let rows = entries.chunks(length * LANES);
    for (rows, columns) in rows.zip(cells.chunks_exact_mut(length)) {
        for (lane, row) in rows.chunks_exact(length).enumerate() {
            for (column, entry) in columns.iter_mut().zip(row) {
                column.0[lane % LANES] = entry.wrapping_sub(lowest) as u8;
            }
        }
    }
}
