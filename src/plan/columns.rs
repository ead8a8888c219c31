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
    /// The entries: `length` blocks for every block of rows.
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
        let length = |place: &u32| packed.row(span.start + *place as usize).len();
        if packed.is_uniform(layer) {
            let length = length(&0);
            self.push_group(packed, span.start, length, 0..span.len(), values);
            return;
        }
        self.candidates.sort_by_key(length); // stable: the order stays fixed
        let mut start = 0;
        while let Some(first) = self.candidates.get(start) {
            let length_here = length(first);
            let rest = self.candidates[start..].iter();
            let end = start
                + rest
                    .take_while(|place| length(place) == length_here)
                    .count();
            self.push_group(packed, span.start, length_here, start..end, values);
            start = end;
        }
    }

    fn clear(&mut self) {
        self.groups.clear();
        self.candidates.clear();
        self.below.clear();
        self.excess.clear();
        self.base.clear();
        self.cells.clear();
    }

    fn push_group(
        &mut self,
        packed: &Packed,
        first: usize,
        length: usize,
        candidates: Range<usize>,
        values: &[Key],
    ) {
        let (blocks, cells) = (self.excess.len(), self.cells.len());
        let count = candidates.len().div_ceil(LANES);
        let cap = cap(packed, length);
        self.excess.resize(blocks + count, Block::of(cap));
        self.cells.resize(cells + count * length, Block::of(0));
        self.push_values(candidates.clone(), blocks, values, cap);
        let lowest = packed.bound.lowest();
        let places = self.candidates[candidates.clone()].chunks(LANES);
        let columns = self.cells[cells..].chunks_exact_mut(length);
        for (places, columns) in places.zip(columns) {
            for (lane, &place) in places.iter().enumerate().take(LANES) {
                let row = packed.row(first + place as usize);
                for (column, &entry) in columns.iter_mut().zip(row) {
                    // Between 0 and 255: see `fit`.
                    column.0[lane] = entry.wrapping_sub(lowest) as u8;
                }
            }
        }
        self.push_base(length, blocks, cells);
        self.groups.push(Span {
            length,
            candidates,
            blocks: blocks..blocks + count,
            cells: cells..cells + count * length,
        });
    }

    fn push_values(&mut self, candidates: Range<usize>, blocks: usize, values: &[Key], cap: u8) {
        let places = self.candidates[candidates].chunks(LANES);
        for (places, excess) in places.zip(&mut self.excess[blocks..]) {
            for (&place, excess) in places.iter().zip(&mut excess.0) {
                let value = values[place as usize];
                // The motion of an impossible value is beyond all others,
                // unless nothing is possible.
                let above = u8::try_from(motion_of(value) - self.least);
                if value < IMPOSSIBLE {
                    *excess = above.map_or(cap, |above| above.min(cap));
                }
                self.below.push(below_motion(value));
            }
        }
    }

    fn push_base(&mut self, length: usize, blocks: usize, cells: usize) {
        let columns = self.cells[cells..].chunks_exact(length);
        for (excess, columns) in self.excess[blocks..].iter().zip(columns) {
            let mut base = *excess;
            for column in columns {
                for (base, &entry) in base.0.iter_mut().zip(&column.0) {
                    *base = base.wrapping_add(entry);
                }
            }
            self.base.push(base);
        }
    }

    /// The groups of the layer.
    pub(super) fn groups<'a>(&'a self, packed: &'a Packed) -> impl Iterator<Item = Group<'a>> {
        self.groups.iter().map(|span| Group {
            length: span.length,
            candidates: &self.candidates[span.candidates.clone()],
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
