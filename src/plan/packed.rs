//! The layers laid out for speed: one allocation for each kind of data instead of
//! one for each row.

use super::cost::{Bound, Key, off_centre_key};
use super::{Layer, Unsolvable};
use crate::optimise::off_centre;
use std::ops::Range;

/// All layers, packed.
#[derive(Clone, Debug)]
pub(super) struct Packed {
    entries: Vec<i16>,
    /// Where each row starts among the entries, and the last one ends.
    rows: Vec<u32>,
    layers: Vec<Place>,
    centre: i32,
    pub(super) bound: Bound,
}

/// Where a layer ends, and what its rows look like.
#[derive(Clone, Copy, Debug)]
struct Place {
    end: usize,
    /// The length of the layer's rows if it is the same for all.
    length: Option<usize>,
}

impl Packed {
    /// Packs the layers; fails on the first empty one, and if there are 2^32
    /// entries or more.
    pub(super) fn new(layers: &[Layer], centre: i32) -> Result<Packed, Unsolvable> {
        let rows: usize = layers.iter().map(Layer::len).sum();
        let mut packed = Packed {
            entries: Vec::with_capacity(4 * rows),
            rows: Vec::with_capacity(rows + 1),
            layers: Vec::with_capacity(layers.len()),
            centre,
            bound: Bound::new(centre),
        };
        packed.rows.push(0);
        for (index, layer) in layers.iter().enumerate() {
            let Some(first) = layer.rows().first() else {
                return Err(Unsolvable::EmptyLayer { layer: index });
            };
            packed.push_layer(layer, first.entries().len())?;
        }
        Ok(packed)
    }

    fn push_layer(&mut self, layer: &Layer, length: usize) -> Result<(), Unsolvable> {
        let mut uniform = true;
        for row in layer.rows() {
            self.bound.include(row);
            append(&mut self.entries, row.entries());
            let end = u32::try_from(self.entries.len());
            self.rows.push(end.map_err(|_| Unsolvable::TooLarge)?);
            uniform &= row.entries().len() == length;
        }
        self.layers.push(Place {
            end: self.candidates(),
            length: uniform.then_some(length),
        });
        Ok(())
    }

    /// How many layers there are.
    pub(super) fn len(&self) -> usize {
        self.layers.len()
    }

    /// Where the layer's candidates lie among the candidates of all layers.
    pub(super) fn span(&self, layer: usize) -> Range<usize> {
        let start = layer
            .checked_sub(1)
            .map_or(0, |before| self.layers[before].end);
        start..self.layers[layer].end
    }

    /// Whether all rows of the layer have the same length.
    pub(super) fn is_uniform(&self, layer: usize) -> bool {
        self.layers[layer].length.is_some()
    }

    /// How many rows from `candidate` on have the same length, within its
    /// layer; and this length.
    pub(super) fn alike(&self, layer: usize, candidate: usize) -> (usize, usize) {
        let rest = candidate..self.span(layer).end;
        if let Some(length) = self.layers[layer].length {
            return (rest.len(), length);
        }
        let length = self.row(candidate).len();
        let same = rest.take_while(|&other| self.row(other).len() == length);
        (same.count(), length)
    }

    /// How many candidates all layers have together.
    pub(super) fn candidates(&self) -> usize {
        self.rows.len() - 1
    }

    /// The key of a candidate standing alone. Made of its entries anew each
    /// time: that is faster than to fetch it from memory.
    #[inline(always)]
    pub(super) fn off_centre(&self, candidate: usize) -> Key {
        self.off_centre_of(self.row(candidate))
    }

    /// The key of a row standing alone, given by its entries.
    #[inline(always)]
    pub(super) fn off_centre_of(&self, row: &[i16]) -> Key {
        off_centre_key(off_centre(row, self.centre))
    }

    /// The entries of one candidate, counted through all layers.
    pub(super) fn row(&self, candidate: usize) -> &[i16] {
        &self.entries[self.rows[candidate] as usize..self.rows[candidate + 1] as usize]
    }

    /// The entries of neighbouring candidates, row by row.
    pub(super) fn entries(&self, candidates: Range<usize>) -> &[i16] {
        &self.entries[self.rows[candidates.start] as usize..self.rows[candidates.end] as usize]
    }
}

/// Appends a row. Where its length is a usual one, the compiler knows it,
/// and needs no call to copy a few bytes.
#[inline(always)]
fn append(entries: &mut Vec<i16>, row: &[i16]) {
    match *row {
        [a, b, c] => entries.extend_from_slice(&[a, b, c]),
        [a, b, c, d] => entries.extend_from_slice(&[a, b, c, d]),
        [a, b, c, d, e] => entries.extend_from_slice(&[a, b, c, d, e]),
        _ => entries.extend_from_slice(row),
    }
}
