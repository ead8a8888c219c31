//! Bounds from below of the choices that take each value of a page.
//!
//! Each replacement pays the same toll and the multipliers of its limits, as in [`limited`](super::limited). The
//! least effort with a value, less all that a choice of so many can pay, is no more than the score of any
//! choice that takes it and keeps the limits. So a value whose bound is above the score of a choice that is known
//! is in no better one, nor in one as good.

use std::collections::{BTreeMap, BTreeSet};

use super::space::StateSpace;
use super::terms::Terms;
use crate::optimise::Unsolvable;

/// How much more than the best of its kind a value may cost that is looked at first.
const NEARLY_BEST: i64 = 3;

/// The bounds at a toll and some multipliers.
pub(super) fn bounds<'s>(
    space: &'s StateSpace,
    terms: &Terms,
    toll: i64,
    multipliers: &[i64],
) -> Result<ValueBounds<'s>, Unsolvable> {
    let replacements = space.replacements();
    let mut tolls = terms.tolls(multipliers, replacements);
    tolls.iter_mut().for_each(|one| *one += toll);
    let page = space.model(&tolls, |_| 0, |_| true, &[]);
    let least = page.least_efforts()?;
    Ok(ValueBounds {
        space,
        toll,
        allowance: terms.allowance(multipliers),
        with: page.by_replacement(&least.each, replacements),
        each: least.each,
    })
}

/// A bound from below of the choices with each value.
pub(super) struct ValueBounds<'s> {
    space: &'s StateSpace,
    /// What each replacement paid beside its charge and the multipliers.
    toll: i64,
    /// What all that keep the limits pay in multipliers at the most.
    allowance: i64,
    /// The least effort with each value of each moment, if there is any.
    each: Vec<Vec<Option<i64>>>,
    /// The same for each replacement.
    with: Vec<Option<i64>>,
}

impl ValueBounds<'_> {
    /// Whether a value, by its moment and its number there, may be in a choice of so many with no more than this
    /// score.
    pub fn allows(&self, at: (usize, usize), score: i64, count: usize) -> bool {
        let paid = i64::try_from(count).map_or(i64::MAX, |count| self.toll.saturating_mul(count));
        let most = score.saturating_add(paid).saturating_add(self.allowance);
        self.effort(at).is_some_and(|effort| effort <= most)
    }

    /// The page with a few replacements only, and of values that differ in their voicings alone with the best,
    /// and those nearly as good. The replacements are those with which the best choice of any number is
    /// cheapest, so `few` of them, and of the cheapest `most` that can be taken together.
    pub fn promising(&self, terms: &Terms, (few, most): (usize, usize)) -> StateSpace {
        let cheapest = self.cheapest();
        let mut kept: BTreeSet<usize> = self.together(&cheapest, terms, most).into_iter().collect();
        kept.extend(cheapest.into_iter().take(few));
        let mut best: BTreeMap<(usize, usize), i64> = BTreeMap::new();
        for (moment, states) in self.space.moments.iter().enumerate() {
            for (number, state) in states.iter().enumerate() {
                let known = best.entry((moment, state.kind)).or_insert(i64::MAX);
                *known = self.effort((moment, number)).unwrap_or(*known).min(*known);
            }
        }
        self.space.only(|(moment, number), state| {
            let best = best.get(&(moment, state.kind));
            let effort = self.effort((moment, number));
            let is_near = |(effort, best): (i64, &i64)| effort - best <= NEARLY_BEST;
            state.of.is_none_or(|of| kept.contains(&of)) && effort.zip(best).is_some_and(is_near)
        })
    }

    fn effort(&self, (moment, number): (usize, usize)) -> Option<i64> {
        self.each.get(moment)?.get(number).copied().flatten()
    }

    /// The replacements, the one with which the best choice of any number is cheapest first.
    fn cheapest(&self) -> Vec<usize> {
        let with = self.with.iter().enumerate();
        let mut possible: Vec<(i64, usize)> =
            with.filter_map(|(at, with)| Some(((*with)?, at))).collect();
        possible.sort_unstable();
        possible.into_iter().map(|(_, at)| at).collect()
    }

    /// Up to so many of some replacements that neither overlap nor break a limit, the first first.
    fn together(&self, of: &[usize], terms: &Terms, most: usize) -> Vec<usize> {
        let spans = self.space.spans();
        let mut taken: Vec<usize> = Vec::new();
        for &one in of {
            let Some(span) = spans.get(&one).filter(|_| taken.len() < most) else {
                continue;
            };
            let mut others = taken.iter().filter_map(|other| spans.get(other));
            let apart = others.all(|other| other.end <= span.start || span.end <= other.start);
            taken.push(one);
            if !apart || !terms.allow(&taken) {
                taken.pop();
            }
        }
        taken
    }
}
