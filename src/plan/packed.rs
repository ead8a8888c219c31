//! The layers laid out for speed: one allocation per kind of data, and the
//! rows of a layer stored a second time as columns, eight rows side by side.
//!
//! A [`Block`] holds up to eight rows of one length; its n-th [`Lanes`] holds
//! the n-th entries of all eight. The inner loop of [`relax`](super::relax)
//! then works on whole lanes, which the compiler turns into vector instructions.

use super::cost::{Bound, Key, row_key};
use super::{Layer, Unsolvable};
use std::ops::Range;

/// Rows side by side in a block: a 128-bit register full of 16-bit entries.
pub(super) const LANES: usize = 8;

/// One entry each of the rows of a block.
pub(super) type Lanes = [i16; LANES];

/// Up to eight rows of one layer that have the same length.
#[derive(Clone, Debug)]
pub(super) struct Block {
    /// Which candidate of the layer stands in which lane. Only the first
    /// `used` lanes count; the others repeat the last row.
    pub(super) candidate: [u32; LANES],
    pub(super) used: usize,
    columns: Range<usize>,
}

/// All layers, packed.
#[derive(Clone, Debug)]
pub(super) struct Packed {
    entries: Vec<i16>,
    rows: Vec<usize>,
    layers: Vec<usize>,
    blocks: Vec<Block>,
    layer_blocks: Vec<usize>,
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
            blocks: Vec::new(),
            layer_blocks: vec![0],
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
        self.push_blocks(layer);
        self.layer_blocks.push(self.blocks.len());
    }

    fn push_blocks(&mut self, layer: &Layer) {
        let rows = layer.rows();
        let mut by_length: Vec<u32> = (0..rows.len() as u32).collect();
        let length = |index: &u32| rows[*index as usize].entries().len();
        if rows.iter().any(|row| row.entries().len() != length(&0)) {
            by_length.sort_by_key(length); // stable: the order stays fixed
        }
        for same in by_length.chunk_by(|a, b| length(a) == length(b)) {
            for lanes in same.chunks(LANES) {
                self.push_block(layer, lanes);
            }
        }
    }

    fn push_block(&mut self, layer: &Layer, lanes: &[u32]) {
        let at = |lane: usize| lanes[lane.min(lanes.len() - 1)];
        let candidate: [u32; LANES] = std::array::from_fn(at);
        let rows = candidate.map(|index| layer.rows()[index as usize].entries());
        let start = self.columns.len();
        for entry in 0..rows[0].len() {
            self.columns.push(rows.map(|row| row[entry]));
        }
        self.blocks.push(Block {
            candidate,
            used: lanes.len(),
            columns: start..self.columns.len(),
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

    /// The blocks of a layer.
    pub(super) fn blocks(&self, layer: usize) -> &[Block] {
        &self.blocks[self.layer_blocks[layer]..self.layer_blocks[layer + 1]]
    }

    /// The columns of a block, lowest entries first.
    pub(super) fn columns(&self, block: &Block) -> &[Lanes] {
        &self.columns[block.columns.clone()]
    }
}
