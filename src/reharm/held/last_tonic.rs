//! The last tonic, which ends the tune (common practice, no source).

use super::HeldBy;
use super::page::HeldPage;

/// The last tonic of the home key that is played; none where the tune does not come home.
pub(super) fn last_tonic(page: &HeldPage<'_>) -> Vec<(usize, HeldBy)> {
    let visits = page.visits();
    let end = visits
        .last()
        .copied()
        .filter(|_| !page.problem.performance.is_looped());
    let mut visits = visits.iter().rev().copied();
    let home = page.problem.home;
    let at_home = |at: &usize| page.is_tonic(*at) && home.is_some() && page.key(*at) == home;
    let last = visits.find(at_home);
    let hold = |at: usize| match Some(at) == end {
        true => HeldBy::LastTonic,
        // The tune goes on after it: it may be left again.
        false => HeldBy::Arrival,
    };
    last.map(|at| (at, hold(at))).into_iter().collect()
}
