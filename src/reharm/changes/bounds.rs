//! Bounds from below of the choices that take each replacement.
//!
//! Each replacement pays the same toll and the multipliers of its limits, as in [`limited`](super::limited). The
//! least effort with it, less all that a choice of so many can pay, is no more than the score of any choice
//! that takes it and keeps the limits.

use std::collections::BTreeSet;

use super::points::StateSpace;
use super::terms::Terms;
use crate::optimise::Unsolvable;

/// The bounds where nothing but some replacements is taken.
pub(super) fn bounds(
    space: &StateSpace,
    terms: &Terms,
    toll: i64,
    multipliers: &[i64],
    among: &BTreeSet<usize>,
) -> Result<ReplacementBounds, Unsolvable> {
    let replacements = space.replacements();
    let mut tolls = terms.tolls(multipliers, replacements);
    tolls.iter_mut().for_each(|one| *one += toll);
    let page = space.model(&tolls, |_| 0, |at| among.contains(&at), &[]);
    Ok(ReplacementBounds {
        toll,
        allowance: terms.allowance(multipliers),
        with: page.least_efforts(replacements)?.with,
    })
}

/// A bound from below of the choices with each replacement.
pub(super) struct ReplacementBounds {
    /// What each replacement paid beside its charge and the multipliers.
    toll: i64,
    /// What all that keep the limits pay in multipliers at the most.
    allowance: i64,
    /// The least effort with each, if there is any.
    with: Vec<Option<i64>>,
}

impl ReplacementBounds {
    /// No choice of so many that takes this replacement has a lower score; `None` where there is no choice.
    fn below(&self, at: usize, count: usize) -> Option<i64> {
        let paid = self.toll.saturating_mul(i64::try_from(count).ok()?);
        let with = self.with.get(at).copied().flatten()?;
        Some(with.saturating_sub(paid).saturating_sub(self.allowance))
    }

    /// So many with which the best choice of any number is cheapest.
    pub fn cheapest(&self, few: usize) -> BTreeSet<usize> {
        let mut possible: Vec<(i64, usize)> = (0..self.with.len())
            .filter_map(|at| Some((self.below(at, 0)?, at)))
            .collect();
        possible.sort_unstable();
        possible.into_iter().take(few).map(|(_, at)| at).collect()
    }

    /// Those of some that may be in a choice of so many with no more than this score.
    pub fn not_above(&self, score: i64, count: usize, among: &BTreeSet<usize>) -> BTreeSet<usize> {
        let fits = |at: &&usize| self.below(**at, count).is_some_and(|below| below <= score);
        among.iter().filter(fits).copied().collect()
    }
}
