//! Rows: what the engine chooses from.
//!
//! What the numbers stand for is the caller's business. All that is promised here is that a row has at
//! least one entry and rises strictly, because the sorted pairing of [`step`](super::motion::step) is only
//! right for sorted rows.

/// One value: at least one whole number, strictly rising.
///
/// ```
/// use compline::optimise::Row;
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
    /// # use compline::optimise::Row;
    /// let row = Row::new(vec![53, 57, 60, 64]).unwrap();
    /// assert_eq!(row.off_centre(48 + 69), 0);
    /// assert_eq!(row.off_centre(48 + 72), 3);
    /// ```
    pub fn off_centre(&self, centre: i32) -> u64 {
        let ends = self.0.first().zip(self.0.last());
        ends.map_or(0, |(&low, &high)| {
            (i64::from(low) + i64::from(high) - i64::from(centre)).unsigned_abs()
        })
    }
}
