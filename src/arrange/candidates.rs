//! The candidates of every slot of a chart, or the slots that have none.

use std::sync::Arc;

use super::cache::Cache;
use super::choices::choices;
use super::on_page::OnPage;
use super::problem::Problem;
use super::rest::leaves_no_room;
use super::trouble::{Reason, StuckSlot};
use super::uncarried::Uncarried;
use crate::voicing::Voicing;

/// For each slot what a plan may take there; none for silence, and where the hand rests under the
/// melody.
///
/// # Errors
///
/// Every slot without a voicing, each with what its chord can't carry of the melody.
pub(super) fn candidates(
    problem: &Problem<'_>,
    uncarried: &[Uncarried],
    cache: &mut Cache,
) -> Result<Vec<Arc<Vec<Voicing>>>, Vec<StuckSlot>> {
    let (settings, mut stuck) = (problem.settings, Vec::new());
    let mut all = Vec::with_capacity(problem.slots.len());
    let mut on_page = OnPage::of(problem);
    for (slot, context) in problem.slots.iter().zip(&problem.contexts) {
        let choices = || choices(slot, *context, settings, cache);
        match on_page.get(slot, &slot.wish, choices) {
            Ok(found) => all.push(found),
            Err(Reason::Limits(_)) if leaves_no_room(slot, *context, settings, cache) => {
                all.push(Arc::default());
            }
            Err(why) => stuck.push(StuckSlot {
                uncarried: beside(uncarried, slot.index),
                slot: slot.clone(),
                why,
            }),
        }
    }
    if stuck.is_empty() {
        Ok(all)
    } else {
        Err(stuck)
    }
}

/// What the chord of a slot can't carry.
fn beside(uncarried: &[Uncarried], slot: usize) -> Option<Uncarried> {
    let mut here = uncarried.iter();
    here.find(|one| one.slots.contains(&slot)).cloned()
}
