//! The layers laid out for speed: one allocation for each kind of data instead of
//! one for each row.

use super::cost::{Bound, Key, row_key};
use super::{Layer, Unsolvable};
use std::ops::Range;

/// All layers, packed.
#[derive(Clone, Debug)]
pub(super) struct Packed {
    entries: Vec<i16>,
    rows: Vec<usize>,
    layers: Vec<usize>,
    /// The key of each candidate standing alone.
    pub(super) off_centre: Vec<Key>,
    pub(super) bound: Bound,
}

impl Packed {
    /// Packs the layers; fails on the first empty one.
    pub(super) fn new(layers: &[Layer], centre: i32) -> Result<Packed, Unsolvable> {
        let rows: usize = layers.iter().map(Layer::len).sum();
        let mut packed = Packed {
            entries: Vec::with_capacity(4 * rows),
            rows: Vec::with_capacity(rows + 1),
            layers: Vec::with_capacity(layers.len() + 1),
            off_centre: Vec::with_capacity(rows),
            bound: Bound::new(),
        };
        packed.rows.push(0);
        packed.layers.push(0);
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
        &self.entries[self.place(candidate)]
    }

    /// Where the entries of a candidate lie among those of all candidates.
    pub(super) fn place(&self, candidate: usize) -> Range<usize> {
        self.rows[candidate]..self.rows[candidate + 1]
    }

    /// The entries of all candidates, row by row.
    pub(super) fn entries(&self) -> &[i16] {
        &self.entries
    }
}
