//! A dominant after a chord over its root, as a cadence's six-four is: C/G G7. The bass has come already and
//! stays; another one between them, or under what comes next, would take it back.

use super::HeldBy;
use super::page::HeldPage;
use crate::harmony::chord_kind::RootAndKind;

pub(super) fn six_fours(page: &HeldPage<'_>) -> Vec<(usize, HeldBy)> {
    let mut held = Vec::new();
    for run in page.runs() {
        for pair in run.windows(2) {
            let [before, here] = pair else { continue };
            let dominant = RootAndKind::of(here.chord).is_dominant() && !here.is_slash();
            if before.is_slash() && dominant && before.bass() == here.bass() {
                let slots = before.slots.last().into_iter().chain(here.slots.first());
                held.extend(slots.map(|slot| (*slot, HeldBy::SixFour)));
            }
        }
    }
    held
}
