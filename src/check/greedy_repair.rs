//! A few voicings that bring a restless hand within its allowance, by a simple method.
//!
//! It is not proved to find the fewest, and is for charts that are too long or too entangled to look
//! for those. It begins with the best plan, and as long as the allowance lasts it puts back, of all given
//! voicings, the one that adds the least motion, each time measured anew. No voicing that is left
//! could be put back alone. Those that are left are then planned together, exactly, with all others
//! held. Where the wishes for the steps leave no such plan, it is the best plan whole.

use std::collections::{BTreeMap, BTreeSet};

use super::context::Context;
use super::left_hand::LeftHand;
use crate::arrange::{Hold, row};
use crate::voicing::Voicing;

/// The new voicings by slot, and the motion of the whole performance with them; `None` where there is
/// no better plan to begin with.
pub(super) fn greedy_repair(context: &Context<'_>) -> Option<(BTreeMap<usize, Voicing>, u64)> {
    let (best, totals) = context.best.as_ref()?;
    let most = context.settings.restless.most(totals.cost.effort);
    let changing = changing(context, best.clone(), most);
    let free = |slot: usize| match context.voiced.given.get(slot) {
        Some(Some(voicing)) if !changing.contains(&slot) => Hold::At(voicing),
        _ => Hold::Free,
    };
    let few = context.voiced.plan(free, true).ok();
    let few = few.map(|plan| (new(context, &plan.voicings), plan.totals.cost.effort));
    few.filter(|(_, after)| *after <= most)
        .or_else(|| {
            let meant = context.given().any(|(slot, _)| context.is_meant(slot));
            (!meant).then(|| (new(context, best), totals.cost.effort))
        })
        .filter(|(new, _)| !new.is_empty())
}

/// The voicings of a plan that are not as given.
fn new(context: &Context<'_>, plan: &[Option<Voicing>]) -> BTreeMap<usize, Voicing> {
    let new = context.given().filter_map(|(slot, given)| {
        let voicing = plan.get(slot)?.as_ref()?;
        let same = given.by_pitches(voicing).is_eq();
        (!same).then(|| (slot, voicing.clone()))
    });
    new.collect()
}

/// The slots whose given voicing can't be put back into the best plan within the allowance.
fn changing(context: &Context<'_>, best: Vec<Option<Voicing>>, most: u64) -> BTreeSet<usize> {
    let mut performance = LeftHand::of(&context.voiced.problem, best);
    let (meant, open): (Vec<_>, Vec<_>) = context
        .given()
        .partition(|(slot, _)| context.is_meant(*slot));
    for (slot, voicing) in meant {
        performance.set(slot, voicing);
    }
    let mut motion = performance.cost().effort;
    let mut left: BTreeSet<usize> = open.into_iter().map(|(slot, _)| slot).collect();
    let mut queue: BTreeSet<(i64, usize)> = BTreeSet::new();
    let mut queued: BTreeMap<usize, i64> = BTreeMap::new();
    for &slot in &left {
        requeue(context, &performance, slot, &mut queue, &mut queued);
    }
    while let Some((more, slot)) = queue.pop_first() {
        let with = motion.saturating_add_signed(more);
        if with > most {
            break;
        }
        let Some(Some(given)) = context.voiced.given.get(slot) else {
            continue;
        };
        performance.set(slot, given);
        (motion, _) = (with, left.remove(&slot));
        queued.remove(&slot);
        let near: Vec<usize> = performance.neighbours(slot).collect();
        for other in near.into_iter().filter(|other| left.contains(other)) {
            requeue(context, &performance, other, &mut queue, &mut queued);
        }
    }
    left
}

/// Measures anew what putting a slot's given voicing back would add; nothing is queued where that
/// would break a wish for a step.
fn requeue(
    context: &Context<'_>,
    performance: &LeftHand,
    slot: usize,
    queue: &mut BTreeSet<(i64, usize)>,
    queued: &mut BTreeMap<usize, i64>,
) {
    if let Some(old) = queued.remove(&slot) {
        queue.remove(&(old, slot));
    }
    let given = context.voiced.given.get(slot).and_then(Option::as_ref);
    let Some((given, row)) = given.and_then(|given| Some((given, row(given)?))) else {
        return;
    };
    if performance.breaks_but(slot, &row, None) {
        return;
    }
    let signed = |motion: u64| i64::try_from(motion).unwrap_or(i64::MAX);
    let with = signed(performance.cost_around(slot, given).effort);
    let more = with - signed(performance.cost_here(slot).effort);
    queue.insert((more, slot));
    queued.insert(slot, more);
}
