//! The best choice of so many replacements while their limits are counted, priced or not there: what one
//! search of the engine finds.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use super::choice_part::ChoicePart;
use super::counted::CountedLimits;
use super::space::StateSpace;
use super::standing::Relaxed;
use super::terms::Terms;
use crate::optimise::{Budget, Cost, Unsolvable};

/// What is found for each number of replacements.
pub(super) type FoundByCount = BTreeMap<usize, Relaxed>;

/// The same by the limits that are counted and the multipliers.
type FoundByTerms = BTreeMap<(Vec<usize>, Vec<i64>), Arc<FoundByCount>>;

/// The searches of one page.
pub(super) struct RelaxedSearch<'s> {
    space: &'s StateSpace,
    pub terms: &'s Terms,
    /// The numbers of replacements that are asked for, rising.
    pub counts: &'s [usize],
    /// How many values the page has.
    pub values: usize,
    /// What was found among all choices. Searches for several numbers at once share it.
    known: Mutex<FoundByTerms>,
}

impl<'s> RelaxedSearch<'s> {
    /// Searches of a page for some numbers of replacements.
    pub fn of(space: &'s StateSpace, terms: &'s Terms, counts: &'s [usize]) -> Self {
        Self {
            space,
            terms,
            counts,
            values: space.values(),
            known: Mutex::default(),
        }
    }

    /// All choices on the page, nothing being counted or priced.
    pub fn unpriced(&self) -> ChoicePart {
        ChoicePart::whole(&vec![0; self.terms.limits.len()])
    }

    /// What is best on the whole page on some terms: of each number, and of one less than the least.
    pub fn on_the_page(&self, part: &ChoicePart) -> Result<Arc<FoundByCount>, Unsolvable> {
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

    /// The best choice of so many in a part.
    pub fn one(&self, part: &ChoicePart, count: usize) -> Result<Option<Relaxed>, Unsolvable> {
        let mut found = self.relaxed(part, &[count])?;
        Ok(found.remove(&count))
    }

    /// The same for each of some numbers.
    fn relaxed(&self, part: &ChoicePart, counts: &[usize]) -> Result<FoundByCount, Unsolvable> {
        let multipliers = part.multipliers.as_slice();
        let tolls = self.terms.tolls(multipliers, self.space.replacements());
        let most = counts.iter().copied().max().unwrap_or(0);
        let counted = CountedLimits::of(self.terms, &part.counted, most);
        let allows = |of: usize| !part.left_out.contains(&of);
        let weight = |of: usize| counted.weight(of);
        let page = self.space.model(&tolls, weight, allows, &part.demanded);
        let groups: Vec<Vec<usize>> = counts.iter().map(|&count| counted.weights(count)).collect();
        let found = match page.model.best_of_weights(&groups, Budget::default()) {
            // A part in which a chord is left without a voicing holds no choice. On a page on which values are
            // struck what is left out may be all that stood there.
            Err(Unsolvable::NoValues { .. }) if !part.is_whole() => {
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
}
