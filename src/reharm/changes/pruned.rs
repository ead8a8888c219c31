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
use std::ops::RangeInclusive;

use rayon::prelude::*;

use super::bounds::bounds;
use super::limited::{Best, LimitedSearch};
use super::points::StateSpace;
use super::terms::Terms;
use crate::optimise::Unsolvable;

/// How many are searched first, and how many more for each that may be taken.
const FEW: (usize, usize) = (8, 3);

/// How many replacements are looked at first, where so many may be taken.
pub(super) fn few(most: usize) -> usize {
    let (sure, more) = FEW;
    most.saturating_mul(more).saturating_add(sure)
}

/// The best choice of each number of replacements; `None` where there is none, or none was found.
pub(super) fn best_choices(
    space: &StateSpace,
    terms: &Terms,
    counts: &RangeInclusive<usize>,
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
        None => Ok(searched(space, terms, counts, &all)?.best),
    }
}

/// The same by looking at a few first; `None` where they are not enough for one of the numbers.
fn among_few(
    space: &StateSpace,
    terms: &Terms,
    counts: &RangeInclusive<usize>,
    all: &BTreeSet<usize>,
    few: usize,
) -> Result<Option<Vec<Option<Best>>>, Unsolvable> {
    let first = bounds(space, terms, 0, &vec![0; terms.limits.len()], all)?;
    let few = first.cheapest(few);
    let found = searched(space, terms, counts, &few)?;
    let Some(best) = found.best.iter().cloned().collect::<Option<Vec<Best>>>() else {
        return Ok(None);
    };
    let counted: Vec<(Best, usize)> = best.into_iter().zip(counts.clone()).collect();
    let counted = counted.into_par_iter().filter(|(_, count)| *count > 0);
    let near = counted.map(|(best, count)| {
        let near = first.not_above(best.score, count, all);
        let fall = found.search.fall(&best.multipliers, count);
        let fall = fall.unwrap_or_default();
        let bound = bounds(space, terms, fall, &best.multipliers, &near)?;
        Ok(bound.not_above(best.score, count, &near))
    });
    let near: Vec<Result<BTreeSet<usize>, Unsolvable>> = near.collect();
    let mut left = BTreeSet::new();
    for near in near {
        left.extend(near?);
    }
    match left.is_subset(&few) {
        true => Ok(Some(found.best)),
        false => searched(space, terms, counts, &left).map(|found| Some(found.best)),
    }
}

/// What a search among some of the replacements found.
struct BestAmong<'s> {
    search: LimitedSearch<'s>,
    best: Vec<Option<Best>>,
}

fn searched<'s>(
    space: &'s StateSpace,
    terms: &'s Terms,
    counts: &RangeInclusive<usize>,
    among: &BTreeSet<usize>,
) -> Result<BestAmong<'s>, Unsolvable> {
    let is_among = (0..space.replacements()).map(|at| among.contains(&at));
    let search = LimitedSearch::among(space, terms, *counts.end(), is_among);
    let best = search.each_best(counts)?;
    Ok(BestAmong { search, best })
}
