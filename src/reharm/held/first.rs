//! The first chord of the form. It tells where the tune is at home (common practice, no source).

use super::HeldBy;
use super::row::Row;

pub(super) fn first(row: &Row<'_>) -> Vec<(usize, HeldBy)> {
    let mut visits = row.visits().iter().copied();
    let first = visits.find(|at| row.chord(*at).is_some());
    first.map(|at| (at, HeldBy::First)).into_iter().collect()
}
