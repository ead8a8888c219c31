//! The best voicings for a few slots in a row, everything else held.

use super::left_hand::LeftHand;
use super::motion::Motion;
use crate::optimise::Cost;
use crate::voicing::Voicing;

/// For each alternative of a slot the least cost of a way up to it, and which alternative of the slot
/// before that way takes.
type ReachedAlternatives = Vec<(Cost, usize)>;

/// The best voicings for slots in a row, as if these were followed by one another only in their order.
pub(super) fn best_in_row<'a>(
    motion: &'a Motion<'_>,
    hand: &LeftHand,
    slots: &[usize],
) -> Option<Vec<&'a Voicing>> {
    let mut rows: Vec<ReachedAlternatives> = Vec::new();
    for (at, slot) in slots.iter().enumerate() {
        let before = at
            .checked_sub(1)
            .and_then(|before| Some((*slots.get(before)?, rows.get(before)?)));
        let reached = motion.alternatives(*slot).iter().map(|voicing| {
            let own = hand.cost_beside(*slot, voicing, slots);
            let Some((from, reached)) = before else {
                return (own, 0);
            };
            let ways = motion.alternatives(from).iter().zip(reached).enumerate();
            let ways = ways.map(|(index, (earlier, (cost, _)))| {
                let step = hand.step_cost((from, earlier), (*slot, voicing));
                (*cost + step, index)
            });
            let (cost, index) = ways.min().unwrap_or_default();
            (cost + own, index)
        });
        let reached = reached.collect();
        rows.push(reached);
    }
    let last = rows.last()?.iter().enumerate();
    let (mut at, _) = last.min_by_key(|(_, (cost, _))| *cost)?;
    let mut found = Vec::new();
    for (slot, reached) in slots.iter().zip(&rows).rev() {
        found.push(motion.alternatives(*slot).get(at)?);
        at = reached.get(at)?.1;
    }
    found.reverse();
    Some(found)
}
