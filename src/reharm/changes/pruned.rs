//! The best choices of some numbers of replacements, most of which are never looked at together.
//!
//! Looking at all replacements with all their numbers told apart is slow, and most are in no good choice. So
//! a few are searched first, those with which the best choices are cheapest. What is found there bounds
//! from above what a choice of so many costs. Whether one of the others can be in anything as good is told
//! by a bound from below: each replacement pays the same toll and the multipliers of its limits, as in
//! [`limited`](super::limited). The least effort with it, less all that a choice of so many can pay, is no more
//! than the score of any choice that takes it. What comes to more than what was found is left out; if
//! anything else is left beside the few, all that are left are searched once more. So nothing is lost, equals
//! neither.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::bounds::bounds;
use super::limited::LimitedSearch;
use super::points::StateSpace;
use super::standing::Best;
use super::terms::Terms;
use crate::optimise::Unsolvable;

/// How many are searched first, and how many more for each that may be taken.
const FEW: (usize, usize) = (8, 3);

/// How many replacements are looked at first, where so many may be taken.
pub(super) fn few(most: usize) -> usize {
    let (sure, more) = FEW;
    most.saturating_mul(more).saturating_add(sure)
}

/// The best choice of each number of replacements, rising; `None` where there is none, or none was found.
pub(super) fn best_choices(
    space: &StateSpace,
    terms: &Terms,
    counts: &[usize],
    few: usize,
) -> Result<Vec<Option<Best>>, Unsolvable> {
    let all: BTreeSet<usize> = (0..space.replacements()).collect();
    let pruned = match few < all.len() {
        true => among_few(space, terms, counts, &all, few).unwrap_or_default(),
        false => None,
    };
    // Where the few leave a chord without a voicing, or a bound is too dear, nothing is pruned.
    match pruned {
        Some(found) => Ok(found),
        None => searched(space, terms, counts, &all),
    }
}

/// The same by looking at a few first; `None` where they are not enough for one of the numbers.
fn among_few(
    space: &StateSpace,
    terms: &Terms,
    counts: &[usize],
    all: &BTreeSet<usize>,
    few: usize,
) -> Result<Option<Vec<Option<Best>>>, Unsolvable> {
    let first = bounds(space, terms, 0, &vec![0; terms.limits.len()], all)?;
    let few = first.cheapest(few);
    let found = searched(space, terms, counts, &few)?;
    let Some(best) = found.into_iter().collect::<Option<Vec<Best>>>() else {
        return Ok(None);
    };
    let near = best.par_iter().zip(counts).map(|(best, &count)| {
        let near = first.not_above(best.score, count, all);
        if count == 0 || near.is_subset(&few) {
            return Ok(BTreeSet::new());
        }
        let bound = bounds(space, terms, best.fall, &best.multipliers, &near)?;
        let near = bound.not_above(best.score, count, &near);
        Ok(match near.is_subset(&few) {
            true => BTreeSet::new(),
            false => near,
        })
    });
    let near: Vec<Result<BTreeSet<usize>, Unsolvable>> = near.collect();
    let near: Vec<BTreeSet<usize>> = near.into_iter().collect::<Result<_, _>>()?;
    let open = counts
        .iter()
        .zip(&near)
        .filter(|(_, near)| !near.is_empty());
    let open: Vec<usize> = open.map(|(count, _)| *count).collect();
    let left: BTreeSet<usize> = near.iter().flatten().copied().collect();
    let mut again = match open.is_empty() {
        true => Vec::new(),
        false => searched(space, terms, &open, &left)?,
    }
    .into_iter();
    let each = best
        .into_iter()
        .zip(near)
        .map(|(best, near)| match near.is_empty() {
            true => Some(best),
            false => again.next().flatten(),
        });
    Ok(Some(each.collect()))
}

/// The best choice of each number among some of the replacements.
fn searched(
    space: &StateSpace,
    terms: &Terms,
    counts: &[usize],
    among: &BTreeSet<usize>,
) -> Result<Vec<Option<Best>>, Unsolvable> {
    let among = (0..space.replacements()).map(|at| among.contains(&at));
    LimitedSearch::among(space, terms, counts, among).each_best()
}
