//! Ties: within a bar, over the bar line, and over the end of a line of music.

use super::columns::ColumnPlaces;
use super::drawing::{Length, Point, Segment};
use super::head::line;
use super::pen::{PagePen, width};
use super::shape::NoteShape;
use crate::score::Written;

/// How long a tie is at least.
const SHORTEST: Length = 1000;
/// Room between a tie and what it leads from or to.
const GAP: Length = 100;

/// A written event with its shape.
pub(super) type Shaped<'a> = (&'a Written, &'a NoteShape);

/// The ties between the events of a bar: from each head to the same head of what follows.
pub(super) fn within(pen: &mut PagePen, all: &[Shaped<'_>], columns: &ColumnPlaces, top: Length) {
    for pair in all.windows(2) {
        let [here, (there, next)] = pair else {
            continue;
        };
        if here.0.tie.starts {
            let to = columns.at(there.at) - next.left - GAP;
            draw(pen, here.1, (behind(*here, columns), to), top);
        }
    }
}

/// The ties from the last event of a bar to the first of the next; where there is no next one in the line,
/// or another key follows, to the bar line. Says whether they reach the next one.
pub(super) fn onwards(
    pen: &mut PagePen,
    (here, columns): (Shaped<'_>, &ColumnPlaces),
    next: Option<(Shaped<'_>, &ColumnPlaces)>,
    top: Length,
) -> bool {
    if !here.0.tie.starts {
        return false;
    }
    let keys = |written: &Written| {
        written
            .notes
            .iter()
            .map(|note| note.pitch())
            .collect::<Vec<_>>()
    };
    let next = next.filter(|((next, _), _)| next.tie.stops && keys(next) == keys(here.0));
    let to = match next {
        Some(((next, shape), columns)) => columns.at(next.at) - shape.left - GAP,
        None => columns.right - GAP,
    };
    draw(pen, here.1, (behind(here, columns), to), top);
    next.is_some()
}

/// The ties to the first event of a bar, from the bar line on.
pub(super) fn arriving(
    pen: &mut PagePen,
    (here, columns): (Shaped<'_>, &ColumnPlaces),
    top: Length,
) {
    if here.0.tie.stops {
        let to = columns.at(here.0.at) - here.1.left - GAP;
        draw(pen, here.1, (to - 2 * SHORTEST, to), top);
    }
}

/// Where a tie behind an event begins.
fn behind((written, shape): Shaped<'_>, columns: &ColumnPlaces) -> Length {
    let farthest = shape.heads.iter().map(|head| head.shift).max().unwrap_or(0);
    columns.at(written.at) + farthest + width(shape.sign) + GAP
}

/// A tie at each head, on the side that its shape says.
fn draw(pen: &mut PagePen, shape: &NoteShape, (from, to): (Length, Length), top: Length) {
    for (at, head) in shape.heads.iter().enumerate() {
        let y = top + line(head.position);
        let to = to.max(from + SHORTEST);
        curve(pen, Point { x: from, y }, to, shape.ties_over(at));
    }
}

/// A curved sliver, thin at its ends: from 0.1 to 0.22 of a space, the music font's defaults.
fn curve(pen: &mut PagePen, from: Point, to: Length, over: bool) {
    let side = if over { -1 } else { 1 };
    let (y, third) = (from.y + side * 250, (to - from.x) / 3);
    let at = |x: Length, y: Length| Point { x, y };
    // A long one is higher, so that it leaves the staff line it begins on.
    let high = 700 + ((to - from.x) / 10).clamp(0, 700);
    let bend = |lower: Length| y + side * (high - lower);
    let out = Segment::Curve(
        at(from.x + third, bend(0)),
        at(to - third, bend(0)),
        at(to, y),
    );
    let back = Segment::Curve(
        at(to - third, bend(220)),
        at(from.x + third, bend(220)),
        at(from.x, y),
    );
    pen.shape(at(from.x, y), vec![out, back]);
}
