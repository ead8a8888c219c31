//! The best voicing for one slot, everything else held.

use super::left_hand::LeftHand;
use crate::arrange::row;
use crate::optimise::Cost;
use crate::voicing::Voicing;

/// A voicing that would take the place of another.
pub(super) struct BestVoicing<'a> {
    pub voicing: &'a Voicing,
    /// By how much the whole performance then costs more, in the order in which costs are compared.
    pub extra: [i64; 3],
}

/// The best of these voicings for a slot, everything else held. The step between the slot and
/// `mended` must be as wished; every other must be if it is now.
pub(super) fn best_in<'a>(
    hand: &LeftHand,
    slot: usize,
    choices: &'a [Voicing],
    mended: Option<usize>,
) -> Option<BestVoicing<'a>> {
    let kept = choices.iter().filter_map(|voicing| {
        let row = row(voicing)?;
        let kept = !hand.breaks_but(slot, &row, mended);
        kept.then(|| (hand.cost_around(slot, voicing), voicing))
    });
    // The first of equals, as the planner has it.
    let (cost, voicing) = kept.min_by_key(|(cost, _)| *cost)?;
    Some(BestVoicing {
        voicing,
        extra: difference(hand.cost_here(slot), cost),
    })
}

/// By how much a cost grows, in the order in which costs are compared.
pub(super) fn difference(before: Cost, after: Cost) -> [i64; 3] {
    [
        signed(after.effort) - signed(before.effort),
        signed(after.largest) - signed(before.largest),
        signed(after.off_centre) - signed(before.off_centre),
    ]
}

/// A cost as a number that may be taken from another.
pub(super) fn signed(cost: u64) -> i64 {
    i64::try_from(cost).unwrap_or(i64::MAX)
}
