//! What is wrong with the motion of a hand: what the rules about motion look at.

use super::detour::{Detour, detours};
use super::left_hand::LeftHand;
use super::motion::Motion;
use super::step_repair::{StepRepair, repaired_steps};
use crate::chart::TopWish;

/// What is wrong with the motion of a hand, and the hand with all of it taken as mended.
pub(super) struct MotionFaults<'a> {
    pub motion: Motion<'a>,
    /// The voicings whose notes leap further than is wished.
    pub leaps: Vec<StepRepair>,
    /// Those whose top note moves further than is wished.
    pub top_moves: Vec<StepRepair>,
    /// Where the hand goes out of its way, and what it would play instead.
    pub detours: Vec<Detour>,
    /// The effort of the hand with what is meant taken as mended too: so nobody is asked to move sound
    /// voicings nearer to one that leaps on purpose.
    pub calmed: u64,
}

impl<'a> MotionFaults<'a> {
    /// Finds one thing after the other, each taken as mended for the next.
    pub fn of(mut motion: Motion<'a>) -> Self {
        let wished = &motion.context.settings.arrange;
        let (leap, top) = (wished.leap, wished.top.and_then(TopWish::semitones));
        let mut leaps = repaired_steps(&motion, leap, |step| step.taken.largest);
        motion.take(leaps.iter().flat_map(|leap| &leap.voicings));
        let mut top_moves = repaired_steps(&motion, top, |step| step.top);
        motion.take(top_moves.iter().flat_map(|top| &top.voicings));
        let mut detours = detours(&motion);
        give_to_steps(
            &mut motion,
            leaps.iter_mut().chain(&mut top_moves),
            &mut detours,
        );
        let calmed = calmed(&motion.hand, &detours);
        // A voicing that is meant stays, and is not found again under another name; its neighbours were
        // judged as if it were mended.
        let (context, all_meant) = (motion.context, motion.meant);
        let meant = |slot: usize| all_meant.contains(&slot);
        detours.retain(|detour| !meant(detour.slot) || context.pins(detour.slot));
        let mended = detours.iter().filter(|detour| !meant(detour.slot));
        motion.take(mended.flat_map(|detour| &detour.voicings));
        Self {
            motion,
            leaps,
            top_moves,
            detours,
            calmed,
        }
    }
}

/// The effort of a hand without its detours.
fn calmed(hand: &LeftHand, detours: &[Detour]) -> u64 {
    if detours.is_empty() {
        return hand.cost().effort;
    }
    let mut calmed = hand.clone();
    for (slot, voicing) in detours.iter().flat_map(|detour| &detour.voicings) {
        calmed.set(*slot, voicing);
    }
    calmed.cost().effort
}

/// What a few voicings in a row mend that no one or two can: it is the same fault, so the wide step is found
/// and the detour is not.
fn give_to_steps<'b>(
    motion: &mut Motion<'_>,
    steps: impl Iterator<Item = &'b mut StepRepair>,
    detours: &mut Vec<Detour>,
) {
    for repair in steps.filter(|repair| repair.voicings.is_empty()) {
        let pinned = motion.context.pins(repair.at);
        let around = |detour: &Detour| (detour.slot..=detour.last).contains(&repair.at);
        let found = detours.iter().position(|detour| around(detour) && !pinned);
        if let Some(at) = found {
            repair.voicings = detours.remove(at).voicings;
            motion.take(repair.voicings.iter());
        }
    }
}
