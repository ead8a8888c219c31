//! The best choice of so many replacements of which only so many may be of a kind, proved.
//!
//! The engine counts how many replacements are taken, but not of which kind. So the limits are priced, and
//! what prices leave open is divided.
//!
//! **Prices.** Each limit has a multiplier of 0 or more that every member pays. The engine's least score
//! for the page so charged, less each multiplier times what its limit allows, is a lower bound of the score of
//! every choice that keeps the limits: such a choice pays no more in multipliers than is taken off. If the
//! choice found keeps the limits, and uses up each one that has a multiplier, its own score is that bound,
//! and it is the best. Multipliers of members taken too often rise, those of limits not used up fall.
//!
//! **Division.** Where that doesn't settle it, a choice that is best for its bound breaks a limit of m by taking
//! members a, b, c. Every choice that keeps it leaves one of its first m + 1 members out: a; or it takes a
//! and leaves b out; and so on. Each of these parts is searched again, the one with the lowest bound
//! first, until no part can hold anything better than the best choice found. If that takes too long, the
//! lowest bound left is what is claimed.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::RangeInclusive;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use rayon::prelude::*;

use super::bounds::bounds;
use super::points::StateSpace;
use super::terms::Terms;
use crate::optimise::{Budget, Cost, Unsolvable};

/// How often multipliers are tried before the choices are divided.
const ROUNDS: usize = 10;

/// How many parts are searched at the most, for one number of replacements.
const PARTS: usize = 200;

/// A choice of so many replacements.
#[derive(Debug, Clone)]
pub(super) struct Best {
    /// The replacements, rising.
    pub taken: Vec<usize>,
    /// Its effort and what it is charged.
    pub score: i64,
    /// No choice of as many has a lower score.
    pub bound: i64,
    /// Whether its score is that bound.
    pub proved: bool,
    /// The multipliers of the limits that gave the highest bound.
    pub multipliers: Vec<i64>,
}

/// What the engine finds for one number of replacements, the limits being priced or not there.
#[derive(Debug, Clone)]
struct Relaxed {
    taken: Vec<usize>,
    score: i64,
    bound: i64,
    rest: Cost,
    keeps: bool,
}

/// What is found for each number of replacements.
type FoundByCount = Arc<Vec<Option<Relaxed>>>;

/// The same by the multipliers.
type FoundByMultipliers = BTreeMap<Vec<i64>, FoundByCount>;

/// A part of all choices.
#[derive(Debug, Clone, Default)]
struct ChoicePart {
    left_out: Vec<usize>,
    demanded: Vec<usize>,
    /// The multipliers it is searched with.
    multipliers: Vec<i64>,
}

impl ChoicePart {
    /// All choices.
    fn whole(multipliers: &[i64]) -> Self {
        Self {
            multipliers: multipliers.to_vec(),
            ..Self::default()
        }
    }
}

/// The search on one page.
pub(super) struct LimitedSearch<'s> {
    space: &'s StateSpace,
    terms: &'s Terms,
    most: usize,
    /// The replacements that may be taken at all, by their places.
    among: Vec<bool>,
    /// What was found among all of these, by the multipliers. Searches for several numbers at once share it.
    known: Mutex<FoundByMultipliers>,
}

impl<'s> LimitedSearch<'s> {
    /// A search among some of the replacements, by their places.
    pub fn among(
        space: &'s StateSpace,
        terms: &'s Terms,
        most: usize,
        among: impl Iterator<Item = bool>,
    ) -> Self {
        Self {
            space,
            terms,
            most,
            among: among.collect(),
            known: Mutex::default(),
        }
    }

    /// The best choice of each of some numbers of replacements; `None` if there is none, or none was found.
    pub fn each_best(
        &self,
        counts: &RangeInclusive<usize>,
    ) -> Result<Vec<Option<Best>>, Unsolvable> {
        // All of them begin with this.
        self.on_the_page(&vec![0; self.terms.limits.len()], *counts.end())?;
        let counts: Vec<usize> = counts.clone().collect();
        let best = counts.into_par_iter().map(|count| self.best(count));
        let best: Vec<Result<_, _>> = best.collect();
        best.into_iter().collect()
    }

    fn best(&self, count: usize) -> Result<Option<Best>, Unsolvable> {
        let mut known = Standing::NOTHING;
        let mut multipliers = vec![0; self.terms.limits.len()];
        for round in 0..ROUNDS {
            let Some(found) = self.on_the_page(&multipliers, count)? else {
                return Ok(None);
            };
            known.take(&multipliers, &found);
            if known.is_settled() {
                break;
            }
            let step = if round < ROUNDS / 2 { 4 } else { 1 };
            multipliers = self.moved(&multipliers, &found.taken, step);
        }
        if !known.is_settled() {
            self.without_the_hopeless(count, &known)
                .divided(count, &mut known)?;
        }
        Ok(known.best())
    }

    /// The same search among those only that may be in a choice as good as the best that is known.
    fn without_the_hopeless(&self, count: usize, known: &Standing) -> Self {
        let here = (0..self.among.len()).filter(|at| self.among.get(*at) == Some(&true));
        let here: BTreeSet<usize> = here.collect();
        let fall = self.fall(&known.multipliers, count).unwrap_or_default();
        let bounds = bounds(self.space, self.terms, fall, &known.multipliers, &here);
        let best = known.best.as_ref().zip(bounds.ok());
        let left = best.map(|(best, bounds)| bounds.not_above(best.score, count, &here));
        let left = left.unwrap_or(here);
        let among = (0..self.among.len()).map(|at| left.contains(&at));
        Self::among(self.space, self.terms, self.most, among)
    }

    /// By how much the bound falls from one replacement less to so many, the limits being priced by these
    /// multipliers, which must be known.
    pub fn fall(&self, multipliers: &[i64], count: usize) -> Option<i64> {
        let known = self.found(multipliers)?;
        let bound = |count: usize| Some(known.get(count)?.as_ref()?.bound);
        Some(bound(count.checked_sub(1)?)? - bound(count)?)
    }

    /// What is best on the whole page for some multipliers, all limits being priced by them.
    fn on_the_page(
        &self,
        multipliers: &[i64],
        count: usize,
    ) -> Result<Option<Relaxed>, Unsolvable> {
        let found = match self.found(multipliers) {
            Some(found) => found,
            None => {
                let found = self.relaxed(&ChoicePart::whole(multipliers), self.most)?;
                let found = Arc::new(found);
                self.known()
                    .insert(multipliers.to_vec(), Arc::clone(&found));
                found
            }
        };
        Ok(found.get(count).cloned().flatten())
    }

    fn found(&self, multipliers: &[i64]) -> Option<FoundByCount> {
        self.known().get(multipliers).cloned()
    }

    /// What is put in is whole, so it may be read whatever became of a search beside this one.
    fn known(&self) -> MutexGuard<'_, FoundByMultipliers> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn moved(&self, multipliers: &[i64], taken: &[usize], step: i64) -> Vec<i64> {
        let limits = self.terms.limits.iter().zip(multipliers);
        let moved = limits.map(|(limit, multiplier)| {
            let (count, most) = (limit.count(taken), limit.most);
            match count > most {
                true => multiplier + step * i64::try_from(count - most).unwrap_or(1),
                false if count < most => (multiplier - step).max(0),
                false => *multiplier,
            }
        });
        moved.collect()
    }

    /// The best choices of each number in a part, the limits being priced.
    fn relaxed(&self, part: &ChoicePart, most: usize) -> Result<Vec<Option<Relaxed>>, Unsolvable> {
        let multipliers = part.multipliers.as_slice();
        let tolls = self.terms.tolls(multipliers, self.among.len());
        let among = |of: usize| self.among.get(of).copied().unwrap_or_default();
        let allows = |of: usize| among(of) && !part.left_out.contains(&of);
        let page = self.space.model(&tolls, allows, &part.demanded);
        let plans = match page.model.best_by_weight(most, Budget::default()) {
            // A part in which a chord is left without a voicing holds no choice.
            Err(Unsolvable::NoValues { .. }) if !part.demanded.is_empty() => return Ok(Vec::new()),
            found => found?,
        };
        let plans = plans.plans().iter().map(|plan| {
            let plan = plan.as_ref()?;
            let taken = page.taken(&plan.choice);
            let spent: i64 = taken
                .iter()
                .map(|at| self.terms.paid(*at, multipliers))
                .sum();
            let free: i64 = self.terms.allowance(multipliers);
            Some(Relaxed {
                score: i64::try_from(plan.cost.effort).ok()? - page.raised - spent,
                bound: i64::try_from(plan.lower_bound.effort).ok()? - page.raised - free,
                rest: Cost {
                    effort: 0,
                    ..plan.cost
                },
                keeps: self.terms.allow(&taken),
                taken,
            })
        });
        Ok(plans.collect())
    }

    /// Divides the choices until the best is known.
    fn divided(&self, count: usize, known: &mut Standing) -> Result<(), Unsolvable> {
        let whole = ChoicePart::whole(&known.multipliers);
        let found = self.on_the_page(&known.multipliers, count)?;
        let mut open: Vec<(Relaxed, ChoicePart)> =
            found.map(|found| (found, whole)).into_iter().collect();
        let mut parts: Vec<ChoicePart> = Vec::new();
        for searched in 0.. {
            let found: Vec<Result<_, _>> = parts
                .par_iter()
                .map(|part| self.relaxed(part, count))
                .collect();
            for (found, part) in found.into_iter().zip(parts.drain(..)) {
                if let Some(found) = found?.into_iter().nth(count).flatten() {
                    known.take_choice(&found);
                    open.push((found, part));
                }
            }
            open.retain(|(found, _)| !found.keeps || found.bound < found.score);
            let lowest = open.iter().map(|(found, _)| found.bound).min();
            known.bound = known.floor(lowest);
            if known.is_settled() || searched >= PARTS {
                break;
            }
            let next = open
                .iter()
                .position(|(found, _)| Some(found.bound) == lowest);
            let Some((found, part)) = next.map(|at| open.swap_remove(at)) else {
                break;
            };
            parts = self.parts(&part, &found);
        }
        Ok(())
    }

    /// The parts of a part in which the choice that was found can't be made; or where it keeps the limits,
    /// the same part without the multipliers of those it doesn't use up, which kept its bound low.
    fn parts(&self, part: &ChoicePart, found: &Relaxed) -> Vec<ChoicePart> {
        let broken = self
            .terms
            .limits
            .iter()
            .find(|limit| limit.count(&found.taken) > limit.most);
        let Some(limit) = broken else {
            return vec![self.relieved(part, &found.taken)];
        };
        let members = found.taken.iter().filter(|at| limit.members.contains(at));
        let open = members.filter(|at| !part.demanded.contains(at)).copied();
        let demanded = limit.count(&part.demanded);
        // Where more is demanded already than the limit allows, the part holds no choice.
        let left = (limit.most + 1).saturating_sub(demanded);
        let open: Vec<usize> = open.take(left).collect();
        let each = open.iter().enumerate().map(|(place, out)| ChoicePart {
            left_out: [&part.left_out[..], &[*out]].concat(),
            demanded: [&part.demanded[..], &open[..place]].concat(),
            multipliers: part.multipliers.clone(),
        });
        each.collect()
    }

    fn relieved(&self, part: &ChoicePart, taken: &[usize]) -> ChoicePart {
        let limits = self.terms.limits.iter().zip(&part.multipliers);
        let used_up = limits.map(
            |(limit, multiplier)| match limit.count(taken) < limit.most {
                true => 0,
                false => *multiplier,
            },
        );
        ChoicePart {
            multipliers: used_up.collect(),
            ..part.clone()
        }
    }
}

/// What is known of the best choice so far.
#[derive(Debug)]
struct Standing {
    best: Option<Relaxed>,
    /// The highest bound, and the multipliers it is from.
    bound: i64,
    multipliers: Vec<i64>,
}

impl Standing {
    const NOTHING: Self = Self {
        best: None,
        bound: i64::MIN,
        multipliers: Vec::new(),
    };

    fn take(&mut self, multipliers: &[i64], found: &Relaxed) {
        if found.bound > self.bound {
            self.bound = found.bound;
            self.multipliers = multipliers.to_vec();
        }
        self.take_choice(found);
    }

    fn take_choice(&mut self, found: &Relaxed) {
        let key = |choice: &Relaxed| (choice.score, choice.rest);
        let better = self.best.as_ref().is_none_or(|best| key(found) < key(best));
        if found.keeps && better {
            self.best = Some(found.clone());
        }
    }

    /// The bound where parts are still open down to this one.
    fn floor(&self, lowest: Option<i64>) -> i64 {
        let best = self.best.as_ref().map(|best| best.score);
        let floor = match (lowest, best) {
            (Some(lowest), Some(best)) => lowest.min(best),
            (one, other) => one.or(other).unwrap_or(self.bound),
        };
        floor.max(self.bound)
    }

    fn is_settled(&self) -> bool {
        self.best
            .as_ref()
            .is_some_and(|best| best.score <= self.bound)
    }

    fn best(&self) -> Option<Best> {
        let best = self.best.as_ref()?;
        Some(Best {
            taken: best.taken.clone(),
            score: best.score,
            bound: self.bound.min(best.score),
            proved: self.is_settled(),
            multipliers: self.multipliers.clone(),
        })
    }
}
