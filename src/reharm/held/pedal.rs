//! A pedal: three chords or more, of two roots at least, over one bass that is written under some of
//! them. The bass is the idea; a chord that leaves it ends the passage.

use std::collections::BTreeSet;

use super::HeldBy;
use super::page::{ChordRun, HeldPage};

/// How many chords make a pedal.
const LEAST: usize = 3;

pub(super) fn pedals(page: &HeldPage<'_>) -> Vec<(usize, HeldBy)> {
    let mut held = Vec::new();
    for run in page.runs() {
        for passage in run.chunk_by(|a, b| a.bass() == b.bass()) {
            if is_pedal(passage) {
                let slots = passage.iter().flat_map(|one| &one.slots);
                held.extend(slots.map(|slot| (*slot, HeldBy::Pedal)));
            }
        }
    }
    held
}

fn is_pedal(passage: &[ChordRun<'_>]) -> bool {
    let roots: BTreeSet<_> = passage.iter().map(|one| one.chord.root().class()).collect();
    passage.len() >= LEAST && roots.len() > 1 && passage.iter().any(ChordRun::is_slash)
}
