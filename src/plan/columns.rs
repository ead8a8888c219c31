//! The rows a second time, as columns of bytes.
//!
//! The n-th column of a [`Group`] holds the n-th entries of all its rows side by
//! side. The inner loop of [`relax`](super::relax) runs along the columns, and the
//! compiler turns it into vector instructions.

use super::packed::Packed;
use std::ops::Range;

/// Columns are filled up to a multiple of this: two registers of 16 bytes,
/// which is how much the compiled loop takes at a time.
pub(super) const LANES: usize = 32;

/// The longest row for which columns are made.
pub(super) const LONGEST: usize = 16;

/// The rows of one layer that have the same length.
#[derive(Clone, Debug)]
pub(super) struct Group {
    /// How many entries each row has, and so how many columns there are.
    pub(super) length: usize,
    /// How long each column is: a multiple of [`LANES`].
    pub(super) lanes: usize,
    candidates: Range<usize>,
    cells: Range<usize>,
}

/// The columns of all layers.
#[derive(Clone, Debug)]
pub(super) struct Columns {
    groups: Vec<Group>,
    layers: Vec<usize>,
    candidates: Vec<u32>,
    cells: Vec<u8>,
    /// The entries of all candidates, row by row.
    bytes: Vec<u8>,
}

impl Columns {
    /// The columns, or `None` if the entries lie more than 255 apart or a row
    /// is longer than [`LONGEST`].
    pub(super) fn new(packed: &Packed) -> Option<Columns> {
        if packed.bound.span() > u64::from(u8::MAX) || packed.bound.longest() > LONGEST {
            return None;
        }
        let lowest = packed.bound.lowest();
        let mut columns = Columns {
            groups: Vec::with_capacity(packed.len()),
            layers: vec![0],
            candidates: Vec::with_capacity(packed.candidates()),
            cells: Vec::with_capacity(packed.len() * 4 * LANES),
            // Between 0 and 255, as checked above.
            bytes: packed
                .entries()
                .iter()
                .map(|entry| entry.wrapping_sub(lowest) as u8)
                .collect(),
        };
        for layer in 0..packed.len() {
            columns.push_layer(packed, layer);
            columns.layers.push(columns.groups.len());
        }
        Some(columns)
    }

    fn push_layer(&mut self, packed: &Packed, layer: usize) {
        let span = packed.span(layer);
        let length = |index: &u32| packed.row(span.start + *index as usize).len();
        let mut start = self.candidates.len();
        self.candidates.extend(0..span.len() as u32);
        let uniform = self.candidates[start..]
            .iter()
            .all(|index| length(index) == length(&0));
        if !uniform {
            self.candidates[start..].sort_by_key(length); // stable: the order stays fixed
        }
        while start < self.candidates.len() {
            let mut same = self.candidates[start..].chunk_by(|a, b| length(a) == length(b));
            let end = start + same.next().map_or(1, <[u32]>::len);
            self.push_group(packed, span.start, start..end);
            start = end;
        }
    }

    fn push_group(&mut self, packed: &Packed, first: usize, candidates: Range<usize>) {
        let bytes = &self.bytes;
        let rows = self.candidates[candidates.clone()].iter();
        let rows = rows.map(|&index| &bytes[packed.place(first + index as usize)]);
        let length = rows.clone().next().map_or(0, <[u8]>::len);
        let lanes = candidates.len().next_multiple_of(LANES);
        let start = self.cells.len();
        let end = start + lanes * length;
        self.cells.resize(end, 0);
        for (lane, row) in rows.enumerate() {
            for (entry, &value) in row.iter().enumerate() {
                self.cells[start + entry * lanes + lane] = value;
            }
        }
        let cells = start..end;
        self.groups.push(Group {
            length,
            lanes,
            candidates,
            cells,
        });
    }

    /// One row in bytes: each entry less the lowest of all.
    pub(super) fn row(&self, packed: &Packed, candidate: usize) -> &[u8] {
        &self.bytes[packed.place(candidate)]
    }

    /// The groups of a layer.
    pub(super) fn groups(&self, layer: usize) -> &[Group] {
        &self.groups[self.layers[layer]..self.layers[layer + 1]]
    }

    /// Which candidates of its layer stand in a group's lanes; the lanes that
    /// fill it up have none.
    pub(super) fn candidates(&self, group: &Group) -> &[u32] {
        &self.candidates[group.candidates.clone()]
    }

    /// A group's columns one after the other: the lowest entries of all lanes, then
    /// the next.
    pub(super) fn cells(&self, group: &Group) -> &[u8] {
        &self.cells[group.cells.clone()]
    }
}
