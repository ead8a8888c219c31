//! A bass that walks: four basses or more, each a step from the one before and all in one direction, of
//! which one is no root. Somebody has written it so, and another chord would break the walk.

use super::HeldBy;
use super::page::{ChordRun, HeldPage};

/// How many basses make a walk.
const LEAST: usize = 4;

pub(super) fn walking_basses(page: &HeldPage<'_>) -> Vec<(usize, HeldBy)> {
    let mut held = Vec::new();
    for run in page.runs() {
        let mut start = 0;
        while let Some(rest) = run.get(start..).filter(|rest| rest.len() >= LEAST) {
            let length = walk(rest);
            let chords = rest.get(..length).unwrap_or_default();
            if length >= LEAST && chords.iter().any(ChordRun::is_slash) {
                let slots = chords.iter().flat_map(|one| &one.slots);
                held.extend(slots.map(|slot| (*slot, HeldBy::WalkingBass)));
            }
            // The last bass of a walk may begin another, the other way.
            start += length.max(2) - 1;
        }
    }
    held
}

/// How many chords from the first on walk in one direction.
fn walk(run: &[ChordRun<'_>]) -> usize {
    let steps: Vec<i32> = run
        .windows(2)
        .map(|pair| match pair {
            [a, b] => step(a, b),
            _ => 0,
        })
        .collect();
    let way = steps.first().map_or(0, |step| step.signum());
    let going = steps
        .iter()
        .take_while(|step| way != 0 && step.signum() == way);
    1 + going.count()
}

/// The step from one bass to the next: 1 or 2 half steps up or down, 0 for anything else.
fn step(a: &ChordRun<'_>, b: &ChordRun<'_>) -> i32 {
    match a.bass().up_to(b.bass()).0 {
        up @ (1 | 2) => up,
        up @ (10 | 11) => up - 12,
        _ => 0,
    }
}
