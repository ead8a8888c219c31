//! The chords on either side of some slots, whichever way the performance comes and goes.

use std::ops::Range;

use crate::arrange::Problem;
use crate::chord::Chord;

/// For each slot the slots that are played just before it, and just after it.
pub(super) struct Neighbours {
    before: Vec<Vec<usize>>,
    after: Vec<Vec<usize>>,
}

impl Neighbours {
    pub fn of(problem: &Problem<'_>) -> Self {
        let none = vec![Vec::new(); problem.slots.len()];
        let mut found = Self {
            before: none.clone(),
            after: none,
        };
        for step in problem.performance.transitions() {
            if let Some(before) = found.before.get_mut(step.to) {
                before.push(step.from);
            }
            if let Some(after) = found.after.get_mut(step.from) {
                after.push(step.to);
            }
        }
        found
    }

    /// The chords just before some slots; silence is none.
    pub fn before<'p>(&self, problem: &'p Problem<'_>, slots: &Range<usize>) -> Vec<&'p Chord> {
        let before = self.before.get(slots.start).into_iter().flatten();
        before.filter_map(|at| chord(problem, *at)).collect()
    }

    /// The chords just after some slots; silence is none.
    pub fn after<'p>(&self, problem: &'p Problem<'_>, slots: &Range<usize>) -> Vec<&'p Chord> {
        let last = slots.end.checked_sub(1);
        let after = last.and_then(|last| self.after.get(last));
        let after = after.into_iter().flatten();
        after.filter_map(|at| chord(problem, *at)).collect()
    }
}

fn chord<'p>(problem: &'p Problem<'_>, slot: usize) -> Option<&'p Chord> {
    problem.slots.get(slot)?.symbol.chord()
}

/// The chords that come next after a stretch, silence looked through: each once, or `None` where none does.
pub(super) fn nexts<'p>(
    problem: &'p Problem<'_>,
    stretch: &Range<usize>,
) -> Vec<Option<&'p Chord>> {
    let mut found: Vec<Option<&Chord>> = Vec::new();
    let last = stretch.end.checked_sub(1);
    let visits = problem.performance.visits();
    let mut next = None;
    let round = problem.performance.is_looped().then_some(visits);
    for slot in visits.iter().chain(round.into_iter().flatten()).rev() {
        if Some(*slot) == last && !found.contains(&next) {
            found.push(next);
        }
        next = chord(problem, *slot).or(next);
    }
    found.reverse();
    // The end of the tune asks for nothing where the performance also goes on.
    if found.iter().any(Option::is_some) {
        found.retain(Option::is_some);
    }
    found
}
