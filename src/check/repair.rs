//! What takes the place of faulty voicings: all of them planned together, with everything else held.
//!
//! So what mends one finding agrees with what mends another, and all of it done is the best there is.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use super::alone::best_in;
use super::context::Context;
use super::left_hand::LeftHand;
use crate::arrange::{Hold, Trouble};
use crate::voicing::Voicing;

/// New voicings for these slots, and the hand that plays them. A slot in which nothing legal fits is
/// left out.
pub(super) fn repair<'c>(
    context: &'c Context<'_>,
    faulty: &BTreeSet<usize>,
) -> Result<(BTreeMap<usize, Voicing>, Cow<'c, LeftHand>), Trouble> {
    let voiced = &context.voiced;
    let free: BTreeSet<usize> = faulty
        .iter()
        .copied()
        .filter(|slot| !voiced.choices(*slot).is_empty())
        .collect();
    if free.is_empty() {
        return Ok((BTreeMap::new(), Cow::Borrowed(&context.hand)));
    }
    let hold = |slot: usize| match voiced.given.get(slot) {
        Some(Some(voicing)) if !free.contains(&slot) => Hold::At(voicing),
        _ => Hold::Free,
    };
    match voiced.plan(hold, true) {
        Ok(plan) => {
            let new = free.iter().filter_map(|slot| {
                let voicing = plan.voicings.get(*slot)?.clone()?;
                Some((*slot, voicing))
            });
            let new = new.collect();
            let hand = LeftHand::of(&voiced.problem, plan.voicings);
            Ok((new, Cow::Owned(hand)))
        }
        Err(Trouble::Broken(_)) => {
            let (new, hand) = one_by_one(context, &free);
            Ok((new, Cow::Owned(hand)))
        }
        Err(trouble) => Err(trouble),
    }
}

/// The best for each slot, one after the other: where the wishes for the steps leave no plan for all of
/// them together.
fn one_by_one(
    context: &Context<'_>,
    free: &BTreeSet<usize>,
) -> (BTreeMap<usize, Voicing>, LeftHand) {
    let mut hand = context.hand.clone();
    let mut new = BTreeMap::new();
    for &slot in free {
        let found = best_in(&hand, slot, context.voiced.choices(slot), None);
        if let Some(voicing) = found.map(|found| found.voicing.clone()) {
            hand.set(slot, &voicing);
            new.insert(slot, voicing);
        }
    }
    (new, hand)
}
