//! What eliminations fill, counted in tests: a fault that costs nothing but time shows here and nowhere else.

use std::cell::Cell;
use std::fmt;

use super::tables::Tables;

/// What is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Work {
    /// Eliminations of all variables of a model.
    eliminations: usize,
    /// Tables handed on.
    tables: usize,
    /// Their cells that are kept.
    cells: usize,
    /// Best rows that are noted.
    ways: usize,
    /// Tables made in byte lanes, and the blocks for them.
    lanes: (usize, usize),
}

thread_local! {
    static DONE: Cell<Work> = const { Cell::new(Work::NONE) };
}

impl Work {
    const NONE: Self = Self {
        eliminations: 0,
        tables: 0,
        cells: 0,
        ways: 0,
        lanes: (0, 0),
    };

    /// What a task fills in this thread.
    pub(crate) fn of<T>(task: impl FnOnce() -> T) -> (Self, T) {
        DONE.set(Self::NONE);
        let done = task();
        (DONE.get(), done)
    }

    /// Counts the tables of an elimination that is over.
    pub(super) fn count(tables: &Tables<'_>) {
        let before = DONE.get();
        DONE.set(Self {
            eliminations: before.eliminations + 1,
            tables: before.tables + tables.spans.len(),
            cells: before.cells + tables.cells.len(),
            ways: before.ways + tables.ways.len(),
            lanes: (
                before.lanes.0 + tables.lanes.len(),
                before.lanes.1 + tables.blocks.len(),
            ),
        });
    }
}

impl fmt::Display for Work {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            eliminations,
            tables,
            cells,
            ways,
            lanes: (lanes, blocks),
        } = self;
        write!(
            f,
            "{eliminations} eliminations, {tables} tables, {cells} cells, {ways} ways, {lanes} in lanes, {blocks} blocks"
        )
    }
}
