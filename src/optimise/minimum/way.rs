//! Back-pointers: which row was best for a cell of a table.

/// The place of a row among the rows of its variable that are looked at. Two bytes, so that those of a long
/// page stay in the processor's caches.
pub(in crate::optimise) type Way = u16;

/// So many rows of a variable can be told apart by a [`Way`].
pub(in crate::optimise) const MOST_ROWS: usize = 1 << Way::BITS;
