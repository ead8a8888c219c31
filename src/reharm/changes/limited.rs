//! The best choice of so many replacements of which only so many may be of a kind, proved.
//!
//! The engine counts how many replacements are taken, but not of which kind. So the limits are priced; what
//! prices leave open is counted, and what is open then is divided.
//!
//! **Prices.** Each limit has a multiplier of 0 or more that every member pays. The engine's least score
//! for the page so charged, less each multiplier times what its limit allows, is a lower bound of the score of
//! every choice that keeps the limits: such a choice pays no more in multipliers than is taken off. If the
//! choice found keeps the limits, and uses up each one that has a multiplier, its own score is that bound,
//! and it is the best. Multipliers of members taken too often rise, those of limits not used up fall.
//!
//! **Counting.** Between two prices a limit may be broken at one and not used up at the other. Such a limit is
//! no longer priced: the engine [counts](super::counted) its members as well.
//!
//! **Division.** Where that doesn't settle it, a choice that is best for its bound breaks a limit of m by taking
//! members a, b, c. Every choice that keeps it leaves one of its first m + 1 members out: a; or it takes a
//! and leaves b out; and so on. Each of these parts is searched again, the one with the lowest bound
//! first, until no part can hold anything better than the best choice found. If that takes too long, the
//! lowest bound left is what is claimed. A choice may break nothing and still be none: it takes more
//! than it should, which a counted limit can hide. Such a part is searched without counting.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use rayon::prelude::*;

use super::bounds::bounds;
use super::counted::CountedLimits;
use super::points::StateSpace;
use super::standing::{Best, Relaxed, Standing};
use super::terms::Terms;
use crate::optimise::{Budget, Cost, Unsolvable};

/// How often multipliers are tried, and how often before a limit is counted.
const ROUNDS: usize = 10;
const FIRST_ROUNDS: usize = 3;

/// So many total weights are told apart at the most where limits are counted: for all numbers at once, and for
/// one number that is still open.
const WEIGHTS_FOR_ALL: usize = 32;
const WEIGHTS_FOR_ONE: usize = 100;

/// How many parts are searched at the most, for one number of replacements.
const PARTS: usize = 200;

/// What the search for one number may cost, in values times the weights that are told apart: a large page is
/// searched less often. About 100 ms on the machine it was measured on.
const WORK: usize = 2_500_000;

/// A limit is counted for one number where the choices can be divided so often still: many parts that are
/// searched quickly settle more than a few slow ones.
const COUNTED_PARTS: usize = 50;

/// How often a choice is tried that keeps the limits, where none came up by itself.
const DIVES: usize = 12;

/// What is found for each number of replacements.
type FoundByCount = BTreeMap<usize, Relaxed>;

/// The same by the limits that are counted and the multipliers.
type FoundByTerms = BTreeMap<(Vec<usize>, Vec<i64>), Arc<FoundByCount>>;

/// A part of all choices.
#[derive(Debug, Clone, Default)]
struct ChoicePart {
    left_out: Vec<usize>,
    demanded: Vec<usize>,
    /// The limits that are counted.
    counted: Vec<usize>,
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
    /// The numbers of replacements that are asked for, rising.
    counts: &'s [usize],
    /// The replacements that may be taken at all, by their places.
    among: Vec<bool>,
    /// How many values the page has with them.
    values: usize,
    /// What was found among all of these. Searches for several numbers at once share it.
    known: Mutex<FoundByTerms>,
}

impl<'s> LimitedSearch<'s> {
    /// A search for the best choices of some numbers among some of the replacements, by their places.
    pub fn among(
        space: &'s StateSpace,
        terms: &'s Terms,
        counts: &'s [usize],
        among: impl Iterator<Item = bool>,
    ) -> Self {
        let among: Vec<bool> = among.collect();
        Self {
            space,
            terms,
            counts,
            values: space.values(|of| among.get(of).copied().unwrap_or_default()),
            among,
            known: Mutex::default(),
        }
    }

    /// The best choice of each number; `None` if there is none, or none was found.
    pub fn each_best(&self) -> Result<Vec<Option<Best>>, Unsolvable> {
        // All of them begin with this.
        self.on_the_page(&self.unpriced())?;
        let best = self.counts.par_iter().map(|&count| self.best(count));
        let best: Vec<Result<_, _>> = best.collect();
        best.into_iter().collect()
    }

    fn best(&self, count: usize) -> Result<Option<Best>, Unsolvable> {
        let mut known = Standing::NOTHING;
        let mut multipliers = self.unpriced().multipliers;
        if !self.priced(count, 0..FIRST_ROUNDS, &mut multipliers, &mut known)? {
            return Ok(None);
        }
        self.counted(count, &mut known)?;
        let rounds = self.affordable(&[], count).clamp(FIRST_ROUNDS, ROUNDS);
        self.priced(count, FIRST_ROUNDS..rounds, &mut multipliers, &mut known)?;
        self.dive(count, &mut known)?;
        let fall = self.fall(&known.multipliers, count)?;
        if !known.is_settled() {
            self.without_the_hopeless(count, fall, &known)
                .decided(count, &mut known)?;
        }
        Ok(known.best(fall))
    }

    /// All choices on the page, nothing being counted or priced.
    fn unpriced(&self) -> ChoicePart {
        ChoicePart::whole(&vec![0; self.terms.limits.len()])
    }

    /// Tries multipliers, from these on; whether there is any choice.
    fn priced(
        &self,
        count: usize,
        rounds: Range<usize>,
        multipliers: &mut Vec<i64>,
        known: &mut Standing,
    ) -> Result<bool, Unsolvable> {
        for round in rounds {
            if known.is_settled() {
                break;
            }
            let found = self.on_the_page(&ChoicePart::whole(multipliers))?;
            let Some(found) = found.get(&count) else {
                return Ok(false);
            };
            known.take(multipliers, found);
            let step = if round < ROUNDS / 2 { 4 } else { 1 };
            *multipliers = self.moved(multipliers, &found.taken, step);
        }
        Ok(true)
    }

    /// Counts the limit that is broken worst without multipliers.
    fn counted(&self, count: usize, known: &mut Standing) -> Result<(), Unsolvable> {
        let unpriced = self.unpriced();
        let found = self.on_the_page(&unpriced)?;
        let taken = found.get(&count).map(|found| found.taken.as_slice());
        let most = self.counts.last().copied().unwrap_or(0);
        let room = (most, WEIGHTS_FOR_ALL);
        let more = taken.and_then(|taken| self.counting_more(&unpriced, taken, room));
        if let Some(more) = more.filter(|_| !known.is_settled()) {
            let found = self.on_the_page(&more)?;
            found
                .get(&count)
                .into_iter()
                .for_each(|found| known.take_counted(found));
        }
        Ok(())
    }

    /// How often a search for one number of replacements with so much counted can be afforded.
    fn affordable(&self, counted: &[usize], count: usize) -> usize {
        let weights = CountedLimits::of(self.terms, counted, count).len();
        WORK / self.values.saturating_mul(weights).max(1)
    }

    /// Looks for a choice that keeps the limits, if none is known: of what is found as much is demanded as
    /// they allow, and what they allow no more of is left out.
    fn dive(&self, count: usize, known: &mut Standing) -> Result<(), Unsolvable> {
        let mut part = ChoicePart::whole(&known.multipliers);
        for _ in 0..DIVES {
            if known.best.is_some() {
                break;
            }
            let Some(found) = self.one_relaxed(&part, count)? else {
                break;
            };
            known.take_choice(&found);
            part.demanded = self.allowed(&found.taken);
            part.left_out = self.used_up(&part.demanded);
        }
        Ok(())
    }

    /// As many of these as the limits allow, the first first.
    fn allowed(&self, taken: &[usize]) -> Vec<usize> {
        let mut allowed: Vec<usize> = Vec::new();
        for &at in taken {
            allowed.push(at);
            if !self.terms.allow(&allowed) {
                allowed.pop();
            }
        }
        allowed
    }

    /// What limits that these use up don't allow beside them.
    fn used_up(&self, taken: &[usize]) -> Vec<usize> {
        let limits = self.terms.limits.iter();
        let full = limits.filter(|limit| limit.count(taken) >= limit.most);
        let members = full.flat_map(|limit| &limit.members).copied();
        members.filter(|at| !taken.contains(at)).collect()
    }

    /// Counts, and divides what is open still.
    fn decided(&self, count: usize, known: &mut Standing) -> Result<(), Unsolvable> {
        let mut part = ChoicePart::whole(&known.multipliers);
        while self.affordable(&part.counted, count) > 1
            && let Some(found) = self.one_relaxed(&part, count)?
        {
            known.take_counted(&found);
            let more = self.counting_more(&part, &found.taken, (count, WEIGHTS_FOR_ONE));
            let more = more.filter(|more| self.affordable(&more.counted, count) >= COUNTED_PARTS);
            match more.filter(|_| !known.is_settled()) {
                Some(more) => part = more,
                None => break,
            }
        }
        match known.is_settled() {
            true => Ok(()),
            false => self.divided(part, count, known),
        }
    }

    /// A part with one more limit counted: the one that is broken worst, or else priced highest without being
    /// used up. `None` where there is none, or where with up to `most` replacements there is no room for so
    /// many weights.
    fn counting_more(
        &self,
        part: &ChoicePart,
        taken: &[usize],
        (most, room): (usize, usize),
    ) -> Option<ChoicePart> {
        let limits = self.terms.limits.iter().enumerate();
        let open = limits.filter(|(at, _)| !part.counted.contains(at));
        let open = open.filter_map(|(at, limit)| {
            let multiplier = part.multipliers.get(at).copied().unwrap_or_default();
            let (excess, unused) = match limit.count(taken) {
                count if count > limit.most => (count - limit.most, 0),
                count if count < limit.most => (0, multiplier),
                _ => (0, 0),
            };
            (excess > 0 || unused > 0).then_some((excess, unused, Reverse(at)))
        });
        let (_, _, Reverse(limit)) = open.max()?;
        let counted = [&part.counted[..], &[limit]].concat();
        let fits = CountedLimits::of(self.terms, &counted, most).len() <= room;
        let mut multipliers = part.multipliers.clone();
        *multipliers.get_mut(limit)? = 0;
        fits.then(|| ChoicePart {
            counted,
            multipliers,
            ..part.clone()
        })
    }

    /// The same search for one number among those only that may be in a choice as good as the best that is
    /// known.
    fn without_the_hopeless(&self, count: usize, fall: i64, known: &Standing) -> Self {
        let here = (0..self.among.len()).filter(|at| self.among.get(*at) == Some(&true));
        let here: BTreeSet<usize> = here.collect();
        let bounds = bounds(self.space, self.terms, fall, &known.multipliers, &here);
        let best = known.best.as_ref().zip(bounds.ok());
        let left = best.map(|(best, bounds)| bounds.not_above(best.score, count, &here));
        let left = left.unwrap_or(here);
        let among = (0..self.among.len()).map(|at| left.contains(&at));
        Self::among(self.space, self.terms, self.counts, among)
    }

    /// By how much the bound falls from one replacement less to so many, the limits being priced by these
    /// multipliers.
    fn fall(&self, multipliers: &[i64], count: usize) -> Result<i64, Unsolvable> {
        let known = self.on_the_page(&ChoicePart::whole(multipliers))?;
        let bound = |count: usize| Some(known.get(&count)?.bound);
        let both = count.checked_sub(1).and_then(bound).zip(bound(count));
        Ok(both.map_or(0, |(fewer, bound)| fewer - bound))
    }

    /// What is best on the whole page on some terms: of each number, and of one less than the least.
    fn on_the_page(&self, part: &ChoicePart) -> Result<Arc<FoundByCount>, Unsolvable> {
        let terms = (part.counted.clone(), part.multipliers.clone());
        let known = self.known().get(&terms).cloned();
        if let Some(found) = known {
            return Ok(found);
        }
        let fewer = self.counts.first().and_then(|least| least.checked_sub(1));
        let counts: Vec<usize> = fewer
            .into_iter()
            .chain(self.counts.iter().copied())
            .collect();
        let found = Arc::new(self.relaxed(part, &counts)?);
        self.known().insert(terms, Arc::clone(&found));
        Ok(found)
    }

    /// What is put in is whole, so it may be read whatever became of a search beside this one.
    fn known(&self) -> MutexGuard<'_, FoundByTerms> {
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

    /// The best choice of so many in a part, the limits being counted and priced.
    fn one_relaxed(&self, part: &ChoicePart, count: usize) -> Result<Option<Relaxed>, Unsolvable> {
        let mut found = self.relaxed(part, &[count])?;
        Ok(found.remove(&count))
    }

    /// The same for each of some numbers.
    fn relaxed(&self, part: &ChoicePart, counts: &[usize]) -> Result<FoundByCount, Unsolvable> {
        let multipliers = part.multipliers.as_slice();
        let tolls = self.terms.tolls(multipliers, self.among.len());
        let most = counts.iter().copied().max().unwrap_or(0);
        let counted = CountedLimits::of(self.terms, &part.counted, most);
        let among = |of: usize| self.among.get(of).copied().unwrap_or_default();
        let allows = |of: usize| among(of) && !part.left_out.contains(&of);
        let weight = |of: usize| counted.weight(of);
        let page = self.space.model(&tolls, weight, allows, &part.demanded);
        let groups: Vec<Vec<usize>> = counts.iter().map(|&count| counted.weights(count)).collect();
        let found = match page.model.best_of_weights(&groups, Budget::default()) {
            // A part in which a chord is left without a voicing holds no choice.
            Err(Unsolvable::NoValues { .. }) if !part.demanded.is_empty() => {
                return Ok(FoundByCount::new());
            }
            found => found?,
        };
        let free: i64 = self.terms.allowance(multipliers);
        let choices = found.plans().iter().zip(counts).map(|(plan, &count)| {
            let plan = plan.as_ref()?;
            let taken = page.taken(&plan.choice);
            let paid = taken.iter().map(|at| self.terms.paid(*at, multipliers));
            let spent: i64 = paid.sum();
            let choice = Relaxed {
                score: i64::try_from(plan.cost.effort).ok()? - page.raised - spent,
                bound: i64::try_from(plan.lower_bound.effort).ok()? - page.raised - free,
                rest: Cost {
                    effort: 0,
                    ..plan.cost
                },
                keeps: taken.len() == count && self.terms.allow(&taken),
                taken,
            };
            Some((count, choice))
        });
        Ok(choices.flatten().collect())
    }

    /// Divides the choices until the best is known.
    fn divided(
        &self,
        whole: ChoicePart,
        count: usize,
        known: &mut Standing,
    ) -> Result<(), Unsolvable> {
        let mut open: Vec<(Relaxed, ChoicePart)> = Vec::new();
        let most = self.affordable(&whole.counted, count).min(PARTS);
        let mut parts = vec![whole];
        for searched in 0.. {
            let found: Vec<Result<_, _>> = parts
                .par_iter()
                .map(|part| self.one_relaxed(part, count))
                .collect();
            for (found, part) in found.into_iter().zip(parts.drain(..)) {
                if let Some(found) = found? {
                    known.take_choice(&found);
                    open.push((found, part));
                }
            }
            open.retain(|(found, _)| !found.keeps || found.bound < found.score);
            let lowest = open.iter().map(|(found, _)| found.bound).min();
            known.bound = known.floor(lowest);
            if known.is_settled() || searched >= most {
                break;
            }
            let next = open
                .iter()
                .position(|(found, _)| Some(found.bound) == lowest);
            let Some((found, part)) = next.map(|at| open.swap_remove(at)) else {
                break;
            };
            parts = self.parts(&part, &found, count);
        }
        Ok(())
    }

    /// The parts of a part in which the choice that was found can't be made; or where it breaks no limit,
    /// the same part as it has to be searched again.
    fn parts(&self, part: &ChoicePart, found: &Relaxed, count: usize) -> Vec<ChoicePart> {
        let broken = self
            .terms
            .limits
            .iter()
            .find(|limit| limit.count(&found.taken) > limit.most);
        let Some(limit) = broken else {
            return vec![self.again(part, &found.taken, count)];
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
            ..part.clone()
        });
        each.collect()
    }

    /// A part without what kept its bound low: counted limits where they hid that too many were taken, or
    /// multipliers of limits that the choice doesn't use up.
    fn again(&self, part: &ChoicePart, taken: &[usize], count: usize) -> ChoicePart {
        if taken.len() != count {
            return ChoicePart {
                counted: Vec::new(),
                ..part.clone()
            };
        }
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
