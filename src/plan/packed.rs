//! The layers laid out for speed: one allocation per kind of data, and the
//! rows of a layer stored a second time as columns, eight rows side by side.
//!
//! A block of a [`Group`] holds eight rows of one length; its n-th [`Lanes`]
//! holds the n-th entries of all eight. The inner loop of [`relax`](super::relax)
//! then works on whole lanes, which the compiler turns into vector instructions.

use super::cost::{Bound, Key, row_key};
use super::{Layer, Unsolvable};
use std::ops::Range;

/// Rows side by side in a block: a 128-bit register full of 16-bit entries.
pub(super) const LANES: usize = 8;

/// One entry each of the rows of a block.
pub(super) type Lanes = [i16; LANES];

/// The rows of one layer that have the same length, eight to a block; the last
/// block is filled up by repeating the last row.
#[derive(Clone, Debug)]
pub(super) struct Group {
    /// How many entries each row has; a block has as many columns.
    pub(super) length: usize,
    /// Which candidates of the layer these are, in the order of the lanes.
    candidates: Range<usize>,
    columns: Range<usize>,
}

/// All layers, packed.
#[derive(Clone, Debug)]
pub(super) struct Packed {
    entries: Vec<i16>,
    rows: Vec<usize>,
    layers: Vec<usize>,
    groups: Vec<Group>,
    layer_groups: Vec<usize>,
    candidates: Vec<u32>,
    columns: Vec<Lanes>,
    /// The key of each candidate standing alone.
    pub(super) off_centre: Vec<Key>,
    pub(super) bound: Bound,
}

impl Packed {
    /// Packs the layers; fails on the first empty one.
    pub(super) fn new(layers: &[Layer], centre: i32) -> Result<Packed, Unsolvable> {
        let mut packed = Packed {
            entries: Vec::new(),
            rows: vec![0],
            layers: vec![0],
            groups: Vec::new(),
            layer_groups: vec![0],
            candidates: Vec::new(),
            columns: Vec::new(),
            off_centre: Vec::new(),
            bound: Bound::new(),
        };
        for (index, layer) in layers.iter().enumerate() {
            if layer.is_empty() {
                return Err(Unsolvable::EmptyLayer { layer: index });
            }
            packed.push_layer(layer, centre);
        }
        Ok(packed)
    }

    fn push_layer(&mut self, layer: &Layer, centre: i32) {
        for row in layer.rows() {
            self.bound.include(row, centre);
            self.off_centre.push(row_key(row, centre));
            self.entries.extend_from_slice(row.entries());
            self.rows.push(self.entries.len());
        }
        self.layers.push(self.off_centre.len());
        self.push_groups(layer);
        self.layer_groups.push(self.groups.len());
    }

    fn push_groups(&mut self, layer: &Layer) {
        let rows = layer.rows();
        let start = self.candidates.len();
        self.candidates.extend(0..rows.len() as u32);
        let length = |index: &u32| rows[*index as usize].entries().len();
        if rows.iter().any(|row| row.entries().len() != length(&0)) {
            self.candidates[start..].sort_by_key(length); // stable: the order stays fixed
        }
        let mut from = start;
        while from < self.candidates.len() {
            let same = self.candidates[from..].chunk_by(|a, b| length(a) == length(b));
            let to = from + same.map(<[u32]>::len).next().unwrap_or(1);
            self.push_group(layer, from..to);
            from = to;
        }
    }

    fn push_group(&mut self, layer: &Layer, candidates: Range<usize>) {
        let indices = &self.candidates[candidates.clone()];
        let rows = |index: u32| layer.rows()[index as usize].entries();
        let length = indices.first().map_or(0, |&index| rows(index).len());
        let start = self.columns.len();
        let end = start + indices.len().div_ceil(LANES) * length;
        self.columns.resize(end, [0; LANES]);
        for (block, lanes) in self.columns[start..]
            .chunks_mut(length)
            .zip(indices.chunks(LANES))
        {
            for lane in 0..LANES {
                let row = rows(lanes[lane.min(lanes.len() - 1)]);
                for (column, &entry) in block.iter_mut().zip(row) {
                    column[lane] = entry;
                }
            }
        }
        self.groups.push(Group {
            length,
            candidates,
            columns: start..end,
        });
    }

    /// How many layers there are.
    pub(super) fn len(&self) -> usize {
        self.layers.len() - 1
    }

    /// Where the layer's candidates lie among the candidates of all layers.
    pub(super) fn span(&self, layer: usize) -> Range<usize> {
        self.layers[layer]..self.layers[layer + 1]
    }

    /// How many candidates all layers have together.
    pub(super) fn candidates(&self) -> usize {
        self.off_centre.len()
    }

    /// The entries of one candidate, counted through all layers.
    pub(super) fn row(&self, candidate: usize) -> &[i16] {
        &self.entries[self.rows[candidate]..self.rows[candidate + 1]]
    }

    /// The groups of a layer.
    pub(super) fn groups(&self, layer: usize) -> &[Group] {
        &self.groups[self.layer_groups[layer]..self.layer_groups[layer + 1]]
    }

    /// Which candidates of its layer stand in a group's lanes, block by block.
    pub(super) fn lanes(&self, group: &Group) -> impl Iterator<Item = &[u32]> {
        self.candidates[group.candidates.clone()].chunks(LANES)
    }

    /// The columns of a group: for each block the lowest entries first.
    pub(super) fn columns(&self, group: &Group) -> &[Lanes] {
        &self.columns[group.columns.clone()]
    }
}
