//! How much work an exact plan may cost.

/// The most that all eliminations together may do. A model without a cycle and without weights is solved
/// whatever its size: its tables are no larger than the model.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Budget {
    /// The most sums that may be looked at: for each variable the values of its neighbours multiplied
    /// with its own, and with the number of total weights told apart.
    pub work: u64,
    /// The most costs that may be held in tables, 8 bytes each.
    pub cells: u64,
}

impl Default for Budget {
    /// 2^28 sums and 2^24 costs, 128 MiB at most: enough for every demo chart, looped too.
    fn default() -> Budget {
        Budget {
            work: 1 << 28,
            cells: 1 << 24,
        }
    }
}
