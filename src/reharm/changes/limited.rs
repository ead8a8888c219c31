//! The best choice of so many replacements of which only so many may be of a kind, proved.
//!
//! The engine counts how many replacements are taken, but not of which kind. So the limits are priced; what
//! prices leave open is counted, and what is open then is divided.
//!
//! **Prices.** Each limit has a multiplier of 0 or more that every member pays ([`priced`]). The engine's least
//! score for the page so charged, less each multiplier times what its limit allows, is a lower bound of the score
//! of every choice that keeps the limits: such a choice pays no more in multipliers than is taken off. If the
//! choice found keeps the limits, and uses up each one that has a multiplier, its own score is that bound,
//! and it is the best. Multipliers of members taken too often rise, those of limits not used up fall.
//!
//! **Counting.** Between two prices a limit may be broken at one and not used up at the other. Such a limit is
//! no longer priced: the engine [counts](super::counted) its members as well.
//!
//! **Division.** Where that doesn't settle it, a choice that is best for its bound breaks a limit of m by taking
//! members a, b, c. Every choice that keeps it leaves one of its first m + 1 members out: a; or it takes a
//! and leaves b out; and so on. Each of these parts is searched again ([`divided`]), the one with the lowest bound
//! first, until no part can hold anything better than the best choice found. If that takes too long, the
//! lowest bound left is what is claimed. A choice may break nothing and still be none: it takes more
//! than it should, which a counted limit can hide. Such a part is searched without counting.

use rayon::prelude::*;

use super::choice_part::ChoicePart;
use super::counted::{CountedLimits, counting_more};
use super::divided::divided;
use super::priced::{FIRST_ROUNDS, ROUNDS, fall, priced};
use super::relaxed::RelaxedSearch;
use super::space::StateSpace;
use super::standing::{Best, DraftChoice, Standing};
use super::terms::Terms;
use crate::chart::sizes::MOST_CHOICE_WORK;
use crate::optimise::Unsolvable;

/// So many total weights are told apart at the most where limits are counted: for all numbers at once, and for
/// one number that is still open.
const WEIGHTS_FOR_ALL: usize = 32;
const WEIGHTS_FOR_ONE: usize = 300;

/// How many parts are searched at the most, for one number of replacements.
const PARTS: usize = 400;

/// What the search for one number may cost at the most, in values times the weights that are told apart: a large
/// page is searched less often. About 100 ms on the machine it was measured on. Where nothing could be struck,
/// mostly because so many can't be taken together, less is spent on it.
const WORK_FOR_ONE: usize = 2_500_000;
const UNSTRUCK_PART: usize = 4;

/// A limit is counted for one number where the choices can be divided so often still: many parts that are
/// searched quickly settle more than a few slow ones.
const COUNTED_PARTS: usize = 50;

/// How often a choice is tried at the most that keeps the limits, where none came up by itself.
const DIVES: usize = 12;

/// A draft is looked for until no other choice can be better by more than this: then few values are left, and
/// the best among them is soon found.
const DRAFT: i64 = 4;

/// What one of so many searches may cost: they share [`MOST_CHOICE_WORK`] evenly, so that what each finds doesn't
/// depend on which is done first.
pub(super) fn share(searches: usize) -> usize {
    (MOST_CHOICE_WORK / searches.max(1)).min(WORK_FOR_ONE)
}

/// The search on one page.
pub(super) struct LimitedSearch<'s> {
    page: RelaxedSearch<'s>,
    /// What the search for one number may cost.
    work: usize,
}

impl<'s> LimitedSearch<'s> {
    /// A search for the best choices of some numbers of replacements, each of which may cost so much.
    pub fn of(space: &'s StateSpace, terms: &'s Terms, counts: &'s [usize], work: usize) -> Self {
        Self {
            page: RelaxedSearch::of(space, terms, counts),
            work,
        }
    }

    /// A good choice of each number; `None` if none was found.
    pub fn each_draft(&self) -> Result<Vec<Option<DraftChoice>>, Unsolvable> {
        self.each(|count| self.draft(count))
    }

    /// The best choice of each number; `None` if there is none, or none was found.
    pub fn each_best(self) -> Result<Vec<Option<Best>>, Unsolvable> {
        let search = Self {
            work: self.work / UNSTRUCK_PART,
            ..self
        };
        search.each(|count| {
            let Some(mut known) = search.standing(count, 0)? else {
                return Ok(None);
            };
            let priced = ChoicePart::whole(&known.multipliers);
            let part = search.decided(priced, count, &mut known)?;
            search.divided(part, count, &mut known)?;
            Ok(known.best())
        })
    }

    /// The best choice of so many on a page on which the draft can be made.
    pub fn best_near(&self, count: usize, draft: &DraftChoice) -> Result<Best, Unsolvable> {
        let mut known = Standing::NOTHING;
        let mut part = self.decided(self.page.unpriced(), count, &mut known)?;
        let unpriced = known.bound;
        if !known.is_settled() {
            known.take_choice(&draft.choice);
            let priced = ChoicePart::whole(&draft.multipliers);
            let priced = self.decided(priced, count, &mut known)?;
            if known.bound > unpriced {
                part = priced;
            }
        }
        self.divided(part, count, &mut known)?;
        known.take_choice(&draft.choice);
        known.best().ok_or(Unsolvable::NoneFound)
    }

    /// The same for each number.
    fn each<T: Send>(
        &self,
        one: impl Fn(usize) -> Result<T, Unsolvable> + Sync,
    ) -> Result<Vec<T>, Unsolvable> {
        // All of them begin with this.
        self.page.on_the_page(&self.page.unpriced())?;
        let found = self.page.counts.par_iter().map(|&count| one(count));
        let found: Vec<Result<T, _>> = found.collect();
        found.into_iter().collect()
    }

    fn draft(&self, count: usize) -> Result<Option<DraftChoice>, Unsolvable> {
        let Some(mut known) = self.standing(count, DRAFT)? else {
            return Ok(None);
        };
        if !known.is_within(DRAFT) {
            let priced = ChoicePart::whole(&known.multipliers);
            self.decided(priced, count, &mut known)?;
        }
        let fall = fall(&self.page, &known.multipliers, count)?;
        Ok(known.best.map(|choice| DraftChoice {
            choice,
            multipliers: known.multipliers,
            fall,
        }))
    }

    /// What prices and counting tell of the best choice, until none can be better by more than `enough`.
    fn standing(&self, count: usize, enough: i64) -> Result<Option<Standing>, Unsolvable> {
        let mut known = Standing::NOTHING;
        let mut multipliers = self.page.unpriced().multipliers;
        let (page, wanted) = (&self.page, (count, enough));
        if !priced(page, wanted, 0..FIRST_ROUNDS, &mut multipliers, &mut known)? {
            return Ok(None);
        }
        if !known.is_within(enough) {
            self.counted(count, &mut known)?;
        }
        let rounds = self.affordable(&[], count).clamp(FIRST_ROUNDS, ROUNDS);
        let rounds = FIRST_ROUNDS..rounds;
        priced(page, wanted, rounds, &mut multipliers, &mut known)?;
        self.dive(count, &mut known)?;
        Ok(Some(known))
    }

    /// Counts the limit that is broken worst without multipliers.
    fn counted(&self, count: usize, known: &mut Standing) -> Result<(), Unsolvable> {
        let unpriced = self.page.unpriced();
        let found = self.page.on_the_page(&unpriced)?;
        let taken = found.get(&count).map(|found| found.taken.as_slice());
        let most = self.page.counts.last().copied().unwrap_or(0);
        let room = (most, WEIGHTS_FOR_ALL);
        let more = taken.and_then(|taken| counting_more(self.page.terms, &unpriced, taken, room));
        if let Some(more) = more {
            let found = self.page.on_the_page(&more)?;
            found
                .get(&count)
                .into_iter()
                .for_each(|found| known.take_counted(found));
        }
        Ok(())
    }

    /// How often a search for one number of replacements with so much counted can be afforded.
    fn affordable(&self, counted: &[usize], count: usize) -> usize {
        let weights = CountedLimits::of(self.page.terms, counted, count).len();
        self.work / self.page.values.saturating_mul(weights).max(1)
    }

    /// Looks for a choice that keeps the limits, if none is known: of what is found as much is demanded as
    /// they allow, and what they allow no more of is left out.
    fn dive(&self, count: usize, known: &mut Standing) -> Result<(), Unsolvable> {
        let mut part = ChoicePart::whole(&known.multipliers);
        let dives = self.affordable(&[], count).clamp(FIRST_ROUNDS, DIVES);
        for _ in 0..dives {
            if known.best.is_some() {
                break;
            }
            let Some(found) = self.page.one(&part, count)? else {
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
            if !self.page.terms.allow(&allowed) {
                allowed.pop();
            }
        }
        allowed
    }

    /// What limits that these use up don't allow beside them.
    fn used_up(&self, taken: &[usize]) -> Vec<usize> {
        let limits = self.page.terms.limits.iter();
        let full = limits.filter(|limit| limit.count(taken) >= limit.most);
        let members = full.flat_map(|limit| &limit.members).copied();
        members.filter(|at| !taken.contains(at)).collect()
    }

    /// Counts one limit after the other in a part, until the best choice is known or nothing more can be counted;
    /// gives the part with what was counted.
    fn decided(
        &self,
        mut part: ChoicePart,
        count: usize,
        known: &mut Standing,
    ) -> Result<ChoicePart, Unsolvable> {
        while !known.is_settled()
            && self.affordable(&part.counted, count) > 1
            && let Some(found) = self.page.one(&part, count)?
        {
            known.take_counted(&found);
            let room = (count, WEIGHTS_FOR_ONE);
            let more = counting_more(self.page.terms, &part, &found.taken, room);
            let more = more.filter(|more| self.affordable(&more.counted, count) >= COUNTED_PARTS);
            match more.filter(|_| !known.is_settled()) {
                Some(more) => part = more,
                None => break,
            }
        }
        Ok(part)
    }

    /// Divides a part if the best choice isn't known.
    fn divided(
        &self,
        part: ChoicePart,
        count: usize,
        known: &mut Standing,
    ) -> Result<(), Unsolvable> {
        if known.is_settled() {
            return Ok(());
        }
        let most = self.affordable(&part.counted, count).min(PARTS);
        divided(&self.page, part, (count, most), known)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arrange::{Cache, Settings};
    use crate::chart::{Beats, NewChord, Replacement, read};
    use crate::chord::Chord;
    use crate::reharm::changes::on_the_page;
    use crate::reharm::{AtMost, Terms};

    /// A chord instead of a whole bar of four beats.
    fn instead(bar: usize, symbol: &str) -> Replacement {
        Replacement {
            slots: bar - 1..bar,
            chords: vec![NewChord {
                bar,
                beat: Beats::whole(1),
                beats: Beats::whole(4),
                chord: Chord::read(symbol).unwrap(),
            }],
        }
    }

    /// Where the cheapest choice takes too many of a kind, the first of them that are allowed are demanded and the
    /// others left out; what is found then keeps the limits, and is no cheaper than what is proved to be best.
    #[test]
    fn a_choice_that_keeps_the_limits_is_found_by_demanding_what_they_allow() {
        let chart = read("key: C\n| C6 | Dm7 | C6 | G7 | C6 | Am7 | C6 |").unwrap();
        let kinds = [2, 4, 6].map(|bar| instead(bar, "Fmaj7"));
        let others = [2, 4, 6].map(|bar| instead(bar, "Bb7"));
        let all: Vec<Replacement> = kinds.into_iter().chain(others).collect();
        let terms = Terms {
            charges: vec![-40, -40, -40, 20, 20, 20],
            limits: vec![AtMost {
                members: vec![0, 1, 2],
                most: 1,
            }],
        };
        let settings = Settings::default();
        let (known, best) =
            on_the_page(&chart, &all, &settings, &mut Cache::default(), |page, _| {
                let search = LimitedSearch::of(&page.space, &terms, &[3], share(1));
                let unpriced = search.page.unpriced();
                let found = search.page.one(&unpriced, 3)?;
                assert_eq!(found.map(|found| found.taken), Some(vec![0, 1, 2]));
                let mut known = Standing {
                    multipliers: unpriced.multipliers,
                    ..Standing::NOTHING
                };
                search.dive(3, &mut known)?;
                let best = LimitedSearch::of(&page.space, &terms, &[3], share(1)).each_best()?;
                Ok((known.best, best))
            })
            .unwrap();
        let found = known.unwrap();
        assert!(found.keeps && found.taken.len() == 3);
        assert_eq!(terms.limits[0].count(&found.taken), 1, "{:?}", found.taken);
        let best = best[0].as_ref().unwrap();
        assert!(best.proved && best.score <= found.score);
    }

    #[test]
    fn the_searches_of_a_command_share_its_work() {
        assert_eq!([1, 4].map(share), [WORK_FOR_ONE; 2]);
        for searches in 0..400 {
            assert!(share(searches) * searches <= MOST_CHOICE_WORK && share(searches) > 0);
            assert!(share(searches + 1) <= share(searches));
        }
    }
}
