//! What would mend steps that go further than is wished, step by step.
//!
//! A wide step is mended by another voicing at one of its ends, whichever costs the performance less,
//! everything else held; or else at both. A step that an earlier mend has mended already belongs to it.

use super::alone::{best_in, difference};
use super::left_hand::LeftHand;
use super::motion::Motion;
use crate::arrange::row;
use crate::optimise::{Step, step};
use crate::voicing::Voicing;

/// A step of the performance between two voicings that the chart gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct GivenStep {
    pub from: usize,
    pub to: usize,
    /// How far the hand moves.
    pub taken: Step,
    /// How far its top note moves, in semitones.
    pub top: u32,
}

/// A voicing that has to change for the sake of some steps.
#[derive(Debug, Clone)]
pub(super) struct StepRepair {
    /// Its slot.
    pub at: usize,
    /// The steps into or out of it that are too wide.
    pub steps: Vec<GivenStep>,
    /// What to play instead, by slot; nothing where nothing would do.
    pub voicings: Vec<(usize, Voicing)>,
}

/// Every step between given voicings, in the order it is first taken.
fn given_steps<'a>(motion: &'a Motion<'_>) -> impl Iterator<Item = GivenStep> + 'a {
    let steps = motion.hand.steps();
    steps.filter_map(|(from, to)| {
        motion.given.get(from)?.as_ref()?;
        motion.given.get(to)?.as_ref()?;
        let (before, after) = (motion.hand.voicing(from)?, motion.hand.voicing(to)?);
        let top = |voicing: &Voicing| voicing.pitches().last();
        let (a, b) = (row(before)?, row(after)?);
        Some(GivenStep {
            from,
            to,
            taken: step(a.entries(), b.entries()),
            top: u32::from(top(before)?.midi().abs_diff(top(after)?.midi())),
        })
    })
}

/// The repairs of the steps that go further than `most`, in the order of the steps; none where nothing is
/// wished. `far` says how far a step goes.
pub(super) fn repaired_steps(
    motion: &Motion<'_>,
    most: Option<u8>,
    far: fn(&GivenStep) -> u32,
) -> Vec<StepRepair> {
    let Some(most) = most else {
        return Vec::new();
    };
    let wide = given_steps(motion).filter(|step| far(step) > u32::from(most));
    let mut hand = LeftHand::clone(&motion.hand);
    let mut repairs: Vec<StepRepair> = Vec::new();
    for step in wide {
        let (from, to) = (step.from, step.to);
        let near = |repair: &&mut StepRepair| {
            let mut changed = repair.voicings.iter().map(|(slot, _)| *slot);
            changed.any(|slot| slot == from || slot == to)
        };
        if hand.keeps_step(from, to)
            && let Some(repair) = repairs.iter_mut().find(near)
        {
            repair.steps.push(step);
            continue;
        }
        let (at, voicings) = one(motion, &hand, from, to);
        for (slot, voicing) in &voicings {
            hand.set(*slot, voicing);
        }
        repairs.push(StepRepair {
            at,
            steps: vec![step],
            voicings,
        });
    }
    repairs
}

/// The voicings that mend one step, and the slot that is to blame. A voicing that is pinned is, and
/// nothing is changed for it.
fn one(
    motion: &Motion<'_>,
    hand: &LeftHand,
    from: usize,
    to: usize,
) -> (usize, Vec<(usize, Voicing)>) {
    if let Some(pinned) = [to, from]
        .into_iter()
        .find(|slot| motion.context.pins(*slot))
    {
        return (pinned, Vec::new());
    }
    let ends = [(to, from), (from, to)];
    let alone = ends.into_iter().filter_map(|(slot, other)| {
        let found = best_in(hand, slot, motion.choices(slot), Some(other))?;
        Some((found.extra, slot, found.voicing))
    });
    // The arrival of equals.
    if let Some((_, slot, voicing)) = alone.min_by_key(|(extra, ..)| *extra) {
        return (slot, vec![(slot, voicing.clone())]);
    }
    let choices = [motion.choices(from), motion.choices(to)];
    let pair = best_pair(hand, [from, to], choices);
    let both = pair.map(|[a, b]| vec![(from, a.clone()), (to, b.clone())]);
    (to, both.unwrap_or_default())
}

/// The best two voicings for both ends of a step that neither end can mend alone.
fn best_pair<'a>(
    hand: &LeftHand,
    [from, to]: [usize; 2],
    [first, second]: [&'a [Voicing]; 2],
) -> Option<[&'a Voicing; 2]> {
    let here = hand.voicing(from)?.clone();
    let mut trial = hand.clone();
    let mut best: Option<([i64; 3], [&Voicing; 2])> = None;
    for a in first {
        trial.set(from, &here);
        let row = row(a)?;
        if trial.breaks_except(from, &row, to) {
            continue;
        }
        // One change after the other: the second is measured with the first in its place.
        let leaving = difference(trial.cost_here(from), trial.cost_around(from, a));
        trial.set(from, a);
        let Some(b) = best_in(&trial, to, second, Some(from)) else {
            continue;
        };
        let arriving = difference(trial.cost_here(to), trial.cost_around(to, b.voicing));
        let sum = [0, 1, 2].map(|at| leaving[at] + arriving[at]);
        if best.as_ref().is_none_or(|(least, _)| sum < *least) {
            best = Some((sum, [a, b.voicing]));
        }
    }
    best.map(|(_, pair)| pair)
}
