//! Rows and layers: what the planner chooses from.
//!
//! A [`Row`] is one candidate, a [`Layer`] all candidates of one slot. What
//! the numbers stand for is the caller's business; all that is promised here
//! is that a row has at least one entry and rises strictly, because the sorted
//! pairing of [`step`](super::step) is only right for sorted rows.

use std::sync::Arc;

/// One candidate: at least one whole number, strictly rising.
///
/// ```
/// use compline::plan::Row;
///
/// assert!(Row::new(vec![53, 57, 60, 64]).is_some());
/// assert!(Row::new(vec![53, 53]).is_none());
/// assert!(Row::new(vec![]).is_none());
/// ```
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Row(Vec<i16>);

impl Row {
    /// The row with these entries, or `None` unless they rise strictly and
    /// there is at least one.
    pub fn new(entries: Vec<i16>) -> Option<Row> {
        let rising = entries.windows(2).all(|pair| pair[0] < pair[1]);
        (rising && !entries.is_empty()).then_some(Row(entries))
    }

    /// The entries, lowest first.
    pub fn entries(&self) -> &[i16] {
        &self.0
    }

    /// How far the row's middle lies from the middle of a range, in half
    /// units: |lowest + highest - `centre`|, where `centre` is the sum of the
    /// range's two ends. Sums instead of halves keep everything whole.
    ///
    /// ```
    /// # use compline::plan::Row;
    /// let row = Row::new(vec![53, 57, 60, 64]).unwrap();
    /// assert_eq!(row.off_centre(48 + 69), 0);
    /// assert_eq!(row.off_centre(48 + 72), 3);
    /// ```
    pub fn off_centre(&self, centre: i32) -> u64 {
        off_centre(&self.0, centre)
    }
}

/// [`Row::off_centre`] of a row given by its entries.
#[inline]
pub(super) fn off_centre(entries: &[i16], centre: i32) -> u64 {
    let ends = entries.first().zip(entries.last());
    ends.map_or(0, |(&low, &high)| {
        (i64::from(low) + i64::from(high) - i64::from(centre)).unsigned_abs()
    })
}

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
