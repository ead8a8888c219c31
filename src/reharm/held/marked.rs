//! What the chart marks with `!`.

use super::HeldBy;
use super::page::HeldPage;

pub(super) fn marked(page: &HeldPage<'_>) -> Vec<(usize, HeldBy)> {
    let slots = page.problem.slots.iter().filter(|slot| slot.held);
    slots.map(|slot| (slot.index, HeldBy::Marked)).collect()
}
