//! What was found for the slots of a page so far: most of its chords come again in the same context.

use std::collections::HashMap;

use super::problem::Problem;
use crate::chart::{Slot, Wish};
use crate::chord::Symbol;
use crate::harmony::{HarmonicContext, Melody};

/// So much is remembered of one chord, and looked through.
const MOST: usize = 100;

/// What was found for each chord in each context under each wish. Slots under a melody are no two alike.
pub(super) struct OnPage<'p, T> {
    problem: &'p Problem<'p>,
    known: HashMap<*const Symbol, Vec<(HarmonicContext, &'p Wish, T)>>,
}

impl<'p, T: Clone> OnPage<'p, T> {
    /// Nothing so far.
    pub fn of(problem: &'p Problem<'p>) -> Self {
        Self {
            problem,
            known: HashMap::new(),
        }
    }

    /// What was found for a slot like this one under this wish, or is found now. Only what is found is
    /// remembered.
    ///
    /// # Errors
    ///
    /// Those of `find`.
    pub fn get<E>(
        &mut self,
        slot: &Slot,
        wish: &'p Wish,
        find: impl FnOnce() -> Result<T, E>,
    ) -> Result<T, E> {
        if *self.problem.melody(slot.index) != Melody::NONE {
            return find();
        }
        let context = self.problem.context(slot.index);
        let known = self.known.entry(&raw const *slot.symbol).or_default();
        let same = |(other, wished, _): &&(HarmonicContext, &Wish, T)| {
            *other == context && *wished == wish
        };
        if let Some((_, _, found)) = known.iter().find(same) {
            return Ok(found.clone());
        }
        let found = find()?;
        if known.len() < MOST {
            known.push((context, wish, found.clone()));
        }
        Ok(found)
    }
}
