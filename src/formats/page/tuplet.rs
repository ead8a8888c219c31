//! Tuplets: a number over the notes, with a bracket where no beam holds them together.

use std::ops::Range;

use super::drawing::Length;
use super::pen::{PagePen, SIGN_SIZE, width};
use crate::score::Written;

const LINE: Length = 160;
const HOOK: Length = 700;

/// The tuplets of a staff in a bar.
pub(super) fn tuplets(events: &[Written]) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut start = None;
    for (at, written) in events.iter().enumerate() {
        if written.tuplet_mark.starts {
            start = Some(at);
        }
        if written.tuplet_mark.stops {
            found.extend(start.take().map(|start| start..at + 1));
        }
    }
    found
}

/// Draws the number of a tuplet, and a bracket unless one beam holds all of it. `above` says on which side.
pub(super) fn draw(
    pen: &mut PagePen,
    events: &[Written],
    (from, to): (Length, Length),
    y: Length,
    above: bool,
) {
    let Some(tuplet) = events.first().and_then(|written| written.tuplet) else {
        return;
    };
    let digits: Vec<String> = tuplet
        .actual
        .to_string()
        .chars()
        .map(|digit| format!("tuplet{digit}"))
        .collect();
    let wide: Length = digits.iter().map(|digit| width(digit)).sum();
    let mut x = (from + to - wide) / 2;
    let (left, right) = (x - 300, x + wide + 300);
    for digit in &digits {
        pen.sized_sign(digit, x, y + 600, SIGN_SIZE);
        x += width(digit);
    }
    if !beamed(events) {
        let hook = if above { y } else { y - HOOK };
        pen.rectangle(from, y, (left - from).max(0), LINE);
        pen.rectangle(right, y, (to - right).max(0), LINE);
        pen.rectangle(from, hook, LINE, HOOK);
        pen.rectangle(to - LINE, hook, LINE, HOOK);
    }
}

/// Whether one beam runs from the first note to the last.
fn beamed(events: &[Written]) -> bool {
    use crate::score::Beam::{Begin, Continue, End};
    let first: Vec<_> = events
        .iter()
        .map(|written| written.beams.first().copied())
        .collect();
    match &first[..] {
        [Some(Begin), middle @ .., Some(End)] => middle.iter().all(|beam| *beam == Some(Continue)),
        _ => false,
    }
}
