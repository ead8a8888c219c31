//! What the chart marks with `!`.

use super::HeldBy;
use super::row::Row;

pub(super) fn marked(row: &Row<'_>) -> Vec<(usize, HeldBy)> {
    let slots = row.problem.slots.iter().filter(|slot| slot.held);
    slots.map(|slot| (slot.index, HeldBy::Marked)).collect()
}
