//! The candidates of one slot.

use super::Row;
use std::sync::Arc;

/// The candidates of one slot. Their order matters only between plans of
/// equal cost: the earlier candidate is then preferred.
///
/// A clone is the same layer, not a copy: many slots of a tune have the same candidates.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Layer {
    rows: Arc<[Row]>,
}

impl Layer {
    /// The layer with these candidates, in order of preference among equals.
    pub fn new(rows: Vec<Row>) -> Layer {
        Layer { rows: rows.into() }
    }

    /// The candidates in their order.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// How many candidates there are.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether there is nothing to choose from; such a layer has no plan.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}

impl FromIterator<Row> for Layer {
    fn from_iter<I: IntoIterator<Item = Row>>(rows: I) -> Layer {
        Layer::new(rows.into_iter().collect())
    }
}
