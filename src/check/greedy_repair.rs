//! A few voicings that bring a restless hand within its allowance, by a simple method.
//!
//! It is not proved to find the fewest, and is for charts that are too long or too entangled to look
//! for those. It begins with the best plan, and as long as the allowance lasts it puts back, of all given
//! voicings, the one that adds the least motion, each time measured anew. No voicing that is left
//! could be put back alone. Those that are left are then planned together, exactly, with all others
//! held. Where the wishes for the steps leave no such plan, it is the best plan whole.

use std::collections::{BTreeMap, BTreeSet};

use super::left_hand::LeftHand;
use super::motion::Motion;
use crate::arrange::{Hold, row};
use crate::voicing::Voicing;

/// The new voicings by slot; `None` where there is no better plan to begin with.
pub(super) fn greedy_repair(motion: &Motion<'_>) -> Option<BTreeMap<usize, Voicing>> {
    let (best, totals) = motion.best.as_ref()?;
    let most = motion.context.settings.restless.most(totals.cost.effort);
    let changing = changing(motion, best.clone(), most);
    let free = |slot: usize| match given(motion, slot) {
        Some(voicing) if !changing.contains(&slot) => Hold::At(voicing),
        _ => Hold::Free,
    };
    let few = motion.context.voiced.plan(free, true).ok();
    few.filter(|plan| plan.totals.cost.effort <= most)
        .map(|plan| new(motion, &plan.voicings))
        .or_else(|| {
            let fixed = motion
                .given_slots()
                .any(|slot| motion.fixed.contains(&slot));
            (!fixed).then(|| new(motion, best))
        })
        .filter(|new| !new.is_empty())
}

/// The voicing that stands in a slot, detours left out.
fn given<'a>(motion: &'a Motion<'_>, slot: usize) -> Option<&'a Voicing> {
    motion.given.get(slot)?.as_ref()?;
    motion.hand.voicing(slot)
}

/// The voicings of a plan that are not as given.
fn new(motion: &Motion<'_>, plan: &[Option<Voicing>]) -> BTreeMap<usize, Voicing> {
    let new = motion.given_slots().filter_map(|slot| {
        let given = given(motion, slot)?;
        let voicing = plan.get(slot)?.as_ref()?;
        let same = given.by_pitches(voicing).is_eq();
        (!same).then(|| (slot, voicing.clone()))
    });
    new.collect()
}

/// The slots whose given voicing can't be put back into the best plan within the allowance.
fn changing(motion: &Motion<'_>, best: Vec<Option<Voicing>>, most: u64) -> BTreeSet<usize> {
    let mut performance = LeftHand::of(&motion.context.voiced.problem, best);
    let (fixed, open): (Vec<usize>, Vec<usize>) = motion
        .given_slots()
        .partition(|slot| motion.fixed.contains(slot));
    for slot in fixed {
        if let Some(voicing) = given(motion, slot) {
            performance.set(slot, voicing);
        }
    }
    let mut effort = performance.cost().effort;
    let mut left: BTreeSet<usize> = open.into_iter().collect();
    let mut queue: BTreeSet<(i64, usize)> = BTreeSet::new();
    let mut queued: BTreeMap<usize, i64> = BTreeMap::new();
    for &slot in &left {
        requeue(motion, &performance, slot, &mut queue, &mut queued);
    }
    while let Some((more, slot)) = queue.pop_first() {
        let with = effort.saturating_add_signed(more);
        if with > most {
            break;
        }
        let Some(given) = given(motion, slot) else {
            continue;
        };
        performance.set(slot, given);
        (effort, _) = (with, left.remove(&slot));
        queued.remove(&slot);
        let near: Vec<usize> = performance.neighbours(slot).collect();
        for other in near.into_iter().filter(|other| left.contains(other)) {
            requeue(motion, &performance, other, &mut queue, &mut queued);
        }
    }
    left
}

/// Measures anew what putting a slot's given voicing back would add; nothing is queued where that
/// would break a wish for a step.
fn requeue(
    motion: &Motion<'_>,
    performance: &LeftHand,
    slot: usize,
    queue: &mut BTreeSet<(i64, usize)>,
    queued: &mut BTreeMap<usize, i64>,
) {
    if let Some(old) = queued.remove(&slot) {
        queue.remove(&(old, slot));
    }
    let given = given(motion, slot);
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
