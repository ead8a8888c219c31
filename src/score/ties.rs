//! Which notes of the melody are tied over the bar lines of bars that are written one after the other.

use super::StartStop;
use crate::chart::Bar;

/// For every bar, whether its first note comes from a bar before it and whether its last one goes on.
///
/// A bar comes behind the one before it; an ending, behind the bar in front of the first ending. A tie
/// before a repeat sign or a jump is written also where its note doesn't follow on the page.
pub(super) fn ties(bars: &[&Bar]) -> Vec<StartStop> {
    let mut fork: Option<&Bar> = None;
    let mut all: Vec<StartStop> = Vec::with_capacity(bars.len());
    for (at, bar) in bars.iter().enumerate() {
        let last = at.checked_sub(1).and_then(|at| bars.get(at)).copied();
        if bar.opens.endings.contains(&1) {
            fork = last;
        }
        let before = match bar.opens.endings.is_empty() {
            true => last,
            false => fork,
        };
        let next = bars.get(at + 1);
        let leaves = bar.closes.repeat.is_some() || !bar.jumps.is_empty();
        let goes_on = leaves || next.is_some_and(|next| bar.is_tied_to(next));
        all.push(StartStop {
            starts: goes_on && bar.tied_note().is_some(),
            stops: before.is_some_and(|before| before.is_tied_to(bar)),
        });
    }
    all
}
