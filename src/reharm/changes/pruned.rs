//! The best choices of some numbers of replacements on a page, most of whose values are never looked at together.
//!
//! Looking at all values with all numbers of replacements told apart is slow, and most are in no good choice. So
//! good choices are drafted first on a small part of the page: the replacements with which the best choices are
//! cheapest, and voicings nearly as good as the best. Each draft bounds from above what a choice of so many
//! costs. Whether a value of the whole page can be in anything as good is told by a [bound](bounds) from below. What
//! comes to more than the draft is struck, and what is left, one or two values for most chords, is searched until the
//! best choice is proved. So nothing is lost, equals neither.

use rayon::prelude::*;

use super::bounds::{ValueBounds, bounds};
use super::limited::LimitedSearch;
use super::space::StateSpace;
use super::standing::{Best, DraftChoice};
use super::terms::Terms;
use crate::optimise::Unsolvable;

/// How many replacements drafts are made of, and how many more for each that may be taken.
const FEW: (usize, usize) = (8, 3);

/// How many replacements drafts are made of, where so many may be taken.
pub(super) fn few(most: usize) -> usize {
    let (sure, more) = FEW;
    most.saturating_mul(more).saturating_add(sure)
}

/// Where no more values are left than this, the best choice is found as soon as others are struck.
const STRUCK: usize = 150;

/// The best choice of each number of replacements, rising; `None` where there is none, or none was found.
/// Drafts are made of few replacements; the search for each number may cost so much work.
pub(super) fn best_choices(
    space: &StateSpace,
    terms: &Terms,
    counts: &[usize],
    (few, work): (usize, usize),
) -> Result<Vec<Option<Best>>, Unsolvable> {
    let most = counts.last().copied().unwrap_or(0);
    let first = bounds(space, terms, 0, &vec![0; terms.limits.len()]);
    // Where the bounds are too dear, nothing is drafted, and nothing struck.
    let Ok(first) = first else {
        return unstruck(space, terms, counts, work);
    };
    let promising = first.promising(terms, (few, most));
    let drafts = LimitedSearch::of(&promising, terms, counts, work).each_draft();
    let drafts = drafts.unwrap_or_else(|_| vec![None; counts.len()]);
    // The bounds of the last are as good for its neighbours as those without a toll are for the first.
    let last = drafts.iter().flatten().next_back();
    let last = last.and_then(|last| bounds(space, terms, last.fall, &last.multipliers).ok());
    let page = BoundedPage {
        space,
        terms,
        work,
        bounds: [first].into_iter().chain(last).collect(),
    };
    let best = counts.par_iter().zip(&drafts);
    let best = best.map(|(&count, draft)| match draft {
        Some(draft) => page.best(count, draft).map(Some),
        None => Ok(unstruck(space, terms, &[count], work)?.pop().flatten()),
    });
    let best: Vec<Result<Option<Best>, Unsolvable>> = best.collect();
    best.into_iter().collect()
}

/// The same by looking at all values of the page.
pub(super) fn unstruck(
    space: &StateSpace,
    terms: &Terms,
    counts: &[usize],
    work: usize,
) -> Result<Vec<Option<Best>>, Unsolvable> {
    LimitedSearch::of(space, terms, counts, work).each_best()
}

/// A page with what is known of its values.
struct BoundedPage<'s> {
    space: &'s StateSpace,
    terms: &'s Terms,
    /// What the search for one number may cost.
    work: usize,
    bounds: Vec<ValueBounds<'s>>,
}

impl BoundedPage<'_> {
    /// The best choice of so many, a draft of it being known.
    fn best(&self, count: usize, draft: &DraftChoice) -> Result<Best, Unsolvable> {
        let score = draft.choice.score;
        let left = self.space.only(|at, _| {
            let mut bounds = self.bounds.iter();
            bounds.all(|bounds| bounds.allows(at, score, count))
        });
        let (toll, multipliers) = (draft.fall, &draft.multipliers);
        let own = match left.values() > STRUCK {
            true => bounds(&left, self.terms, toll, multipliers).ok(),
            false => None,
        };
        let own = own.map(|own| left.only(|at, _| own.allows(at, score, count)));
        let left = own.as_ref().unwrap_or(&left);
        LimitedSearch::of(left, self.terms, &[count], self.work).best_near(count, draft)
    }
}
