//! The layers laid out for speed: one allocation per kind of data, and the
//! rows of a layer stored a second time as columns.
//!
//! The n-th column of a [`Group`] holds the n-th entries of all its rows side by
//! side. The inner loop of [`relax`](super::relax) runs along the columns, and the
//! compiler turns it into vector instructions.

use super::cost::{Bound, Key, row_key};
use super::{Layer, Unsolvable};
use std::ops::Range;

/// Columns are filled up to whole 128-bit registers of 16-bit entries.
pub(super) const LANES: usize = 8;

/// One register full.
pub(super) type Lanes = [i16; LANES];

/// The rows of one layer that have the same length. The columns are filled up
/// by repeating the last row.
#[derive(Clone, Debug)]
pub(super) struct Group {
    /// How many entries each row has, and so how many columns there are.
    pub(super) length: usize,
    /// How long each column is: a multiple of [`LANES`].
    pub(super) lanes: usize,
    /// Which candidates of the layer these are, in the order of the columns.
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
    columns: Vec<i16>,
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
        let lanes = indices.len().next_multiple_of(LANES);
        let start = self.columns.len();
        self.columns.resize(start + lanes * length, 0);
        let columns = &mut self.columns[start..];
        for lane in 0..lanes {
            let row = rows(indices[lane.min(indices.len() - 1)]);
            for (entry, &value) in row.iter().enumerate() {
                columns[entry * lanes + lane] = value;
            }
        }
        self.groups.push(Group {
            length,
            lanes,
            candidates,
            columns: start..start + lanes * length,
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

    /// Which candidates of its layer stand in a group's lanes; the lanes that
    /// fill up the last block have none.
    pub(super) fn candidates_of(&self, group: &Group) -> &[u32] {
        &self.candidates[group.candidates.clone()]
    }

    /// A group's columns one after the other: the lowest entries of all lanes, then
    /// the next.
    pub(super) fn columns(&self, group: &Group) -> &[i16] {
        &self.columns[group.columns.clone()]
    }
}
