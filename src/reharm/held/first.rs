//! The first chord of the form. It tells where the tune is at home (common practice, no source).

use super::HeldBy;
use super::page::HeldPage;

pub(super) fn first(page: &HeldPage<'_>) -> Vec<(usize, HeldBy)> {
    let mut visits = page.visits().iter().copied();
    let first = visits.find(|at| page.chord(*at).is_some());
    first.map(|at| (at, HeldBy::First)).into_iter().collect()
}
