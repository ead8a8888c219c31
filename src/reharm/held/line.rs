//! Lines on one root: three chords or more that stay on a root and a third while a voice moves, or two
//! over a bass that moves. The listener hears the line, and a foreign chord in the middle of it as a
//! mistake. After the last of them the line is over, so its end is free.

use super::HeldBy;
use super::page::{ChordRun, HeldPage};

pub(super) fn lines(page: &HeldPage<'_>) -> Vec<(usize, HeldBy)> {
    let mut held = Vec::new();
    for run in page.runs() {
        for line in run.chunk_by(stays).filter(|line| is_line(page, line)) {
            hold(line, &mut held);
        }
    }
    held
}

/// Whether two chords stand on one root, with one third.
fn stays(a: &ChordRun<'_>, b: &ChordRun<'_>) -> bool {
    let root = |one: &ChordRun<'_>| one.chord.root().class();
    root(a) == root(b) && a.chord.third() == b.chord.third()
}

fn is_line(page: &HeldPage<'_>, line: &[ChordRun<'_>]) -> bool {
    let spelled = |slot: &usize| {
        let context = page.problem.contexts.get(*slot);
        context.is_some_and(|context| context.line.is_some())
    };
    match line {
        [a, b] => a.bass() != b.bass() || b.slots.iter().any(spelled),
        _ => line.len() > 2,
    }
}

fn hold(line: &[ChordRun<'_>], held: &mut Vec<(usize, HeldBy)>) {
    let slots = line.iter().flat_map(|one| &one.slots);
    let end = line.last().and_then(|last| last.slots.first());
    for slot in slots {
        match end {
            Some(end) if slot == end => held.push((*slot, HeldBy::LineEnd)),
            Some(end) if slot > end => {}
            _ => held.push((*slot, HeldBy::Line)),
        }
    }
}
