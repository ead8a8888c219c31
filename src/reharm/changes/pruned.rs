//! The best choices of some numbers of replacements on a page, most of whose values are never looked at together.
//!
//! Looking at all values with all numbers of replacements told apart is slow, and most are in no good choice. So
//! good choices are drafted first on a small part of the page: the replacements with which the best choices are
//! cheapest, and voicings nearly as good as the best. Each draft bounds from above what a choice of so many
//! costs. Whether a value of the whole page can be in anything as good is told by a [bound](bounds) from below. What
//! comes to more than the draft is struck, and what is left, one or two values for most chords, is searched until the
//! best choice is proved. So nothing is lost, equals neither.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::bounds::{ValueBounds, bounds};
use super::limited::LimitedSearch;
use super::space::StateSpace;
use super::standing::{Best, Draft};
use super::terms::Terms;
use crate::optimise::Unsolvable;

/// How many replacements drafts are made of, and how many more for each that may be taken.
const FEW: (usize, usize) = (8, 3);

/// How many replacements drafts are made of, where so many may be taken.
pub(super) fn few(most: usize) -> usize {
    let (sure, more) = FEW;
    most.saturating_mul(more).saturating_add(sure)
}

/// The best choice of each number of replacements, rising; `None` where there is none, or none was found.
/// Drafts are made of no more than so few replacements.
pub(super) fn best_choices(
    space: &StateSpace,
    terms: &Terms,
    counts: &[usize],
    few: usize,
) -> Result<Vec<Option<Best>>, Unsolvable> {
    let mut bounds = BoundsByTerms::of(space, terms);
    let drafts = bounds.drafts(counts, few);
    let near = drafts.iter().flatten().map(terms_of);
    bounds.add(near.collect());
    let best = drafts.par_iter().zip(counts).map(|(draft, &count)| {
        let near = draft.as_ref();
        let near = near.and_then(|draft| Some((draft, bounds.known.get(&terms_of(draft))?)));
        // Where nothing was drafted, or a bound is too dear, nothing is struck.
        let Some((draft, bounds)) = near else {
            return Ok(unstruck(space, terms, &[count])?.pop().flatten());
        };
        let left = bounds.not_above(draft.choice.score, count);
        let best = LimitedSearch::of(&left, terms, &[count]).best_near(count, draft);
        best.map(Some)
    });
    let best: Vec<Result<Option<Best>, Unsolvable>> = best.collect();
    best.into_iter().collect()
}

/// The same by looking at all values of the page.
pub(super) fn unstruck(
    space: &StateSpace,
    terms: &Terms,
    counts: &[usize],
) -> Result<Vec<Option<Best>>, Unsolvable> {
    LimitedSearch::of(space, terms, counts).each_best()
}

/// A toll, and a multiplier for each limit.
type TollAndMultipliers = (i64, Vec<i64>);

fn terms_of(draft: &Draft) -> TollAndMultipliers {
    (draft.fall, draft.multipliers.clone())
}

/// Bounds of the values of a page, as far as they can be had.
struct BoundsByTerms<'s> {
    space: &'s StateSpace,
    terms: &'s Terms,
    known: BTreeMap<TollAndMultipliers, ValueBounds<'s>>,
}

impl<'s> BoundsByTerms<'s> {
    fn of(space: &'s StateSpace, terms: &'s Terms) -> Self {
        Self {
            space,
            terms,
            known: BTreeMap::new(),
        }
    }

    fn add(&mut self, mut wanted: Vec<TollAndMultipliers>) {
        wanted.sort_unstable();
        wanted.dedup();
        wanted.retain(|wanted| !self.known.contains_key(wanted));
        let found = wanted.into_par_iter().filter_map(|(toll, multipliers)| {
            let bounds = bounds(self.space, self.terms, toll, &multipliers).ok()?;
            Some(((toll, multipliers), bounds))
        });
        let found: Vec<_> = found.collect();
        self.known.extend(found);
    }

    /// A good choice of each number, made of few replacements.
    fn drafts(&mut self, counts: &[usize], few: usize) -> Vec<Option<Draft>> {
        let first = (0, vec![0; self.terms.limits.len()]);
        self.add(vec![first.clone()]);
        let drafts = self.known.get(&first).and_then(|first| {
            let promising = first.promising(few);
            LimitedSearch::of(&promising, self.terms, counts)
                .each_draft()
                .ok()
        });
        drafts.unwrap_or_else(|| vec![None; counts.len()])
    }
}
