//! One bar on one staff: notes, beams, ties, tuplets.

use super::beam;
use super::drawing::{Length, Point, Segment};
use super::head::line;
use super::measure::{MeasuredBar, Staff};
use super::pen::{PagePen, width};
use super::shape::{NoteShape, STEM};
use super::tuplet;
use crate::score::{Quarters, Written};

/// Where the columns of a bar stand, and its left and right edge.
#[derive(Debug)]
pub(super) struct ColumnPlaces {
    pub places: Vec<(Quarters, Length)>,
    pub left: Length,
    pub right: Length,
}

impl ColumnPlaces {
    /// Where the column of a moment stands.
    pub fn at(&self, at: Quarters) -> Length {
        self.places
            .iter()
            .find(|(moment, _)| *moment == at)
            .map_or(self.left, |(_, x)| *x)
    }
}

/// Draws what a staff has in a bar; `top` is its upper line.
pub(super) fn draw(
    pen: &mut PagePen,
    measure: &MeasuredBar<'_>,
    number: usize,
    staff: Staff,
    columns: &ColumnPlaces,
    top: Length,
) {
    let events = staff.events(measure.bar);
    let Some(shapes) = measure.shapes.get(number) else {
        return;
    };
    let tips = beams(pen, events, shapes, columns, top);
    for ((written, shape), tip) in events.iter().zip(shapes).zip(&tips) {
        if written.is_rest() {
            rest(pen, written, shape, columns, top);
        } else {
            shape.draw(pen, columns.at(written.at), top, *tip);
        }
    }
    ties(pen, events, shapes, columns, top);
    for range in tuplet::tuplets(events) {
        let (Some(events), Some(shapes), Some(tips)) = (
            events.get(range.clone()),
            shapes.get(range.clone()),
            tips.get(range),
        ) else {
            continue;
        };
        tuplet_sign(pen, events, shapes, tips, columns, top);
    }
}

/// A rest that fills its bar stands in the middle; others stand in their column.
fn rest(
    pen: &mut PagePen,
    written: &Written,
    shape: &NoteShape,
    columns: &ColumnPlaces,
    top: Length,
) {
    let hangs = if shape.sign == "restWhole" {
        1000
    } else {
        2000
    };
    if written.value.is_none() {
        pen.sign(
            shape.sign,
            (columns.left + columns.right - width(shape.sign)) / 2,
            top + hangs,
        );
        return;
    }
    let x = columns.at(written.at);
    pen.sign(shape.sign, x, top + hangs);
    for dot in 0..i32::from(shape.dots) {
        pen.sign(
            "augmentationDot",
            x + width(shape.sign) + 350 + dot * 500,
            top + 1500,
        );
    }
}

/// Draws the beams, and says where the stems of beamed notes end.
fn beams(
    pen: &mut PagePen,
    events: &[Written],
    shapes: &[NoteShape],
    columns: &ColumnPlaces,
    top: Length,
) -> Vec<Option<Length>> {
    let mut all = vec![None; events.len()];
    for range in beam::groups(events) {
        let (Some(events), Some(shapes)) = (events.get(range.clone()), shapes.get(range.clone()))
        else {
            continue;
        };
        let stems: Vec<Length> = events
            .iter()
            .zip(shapes)
            .map(|(written, shape)| columns.at(written.at) + shape.stem_x())
            .collect();
        let shapes: Vec<&NoteShape> = shapes.iter().collect();
        let tips = beam::tips(&shapes, &stems, top);
        let points: Vec<Point> = stems
            .iter()
            .zip(&tips)
            .map(|(x, y)| Point { x: *x, y: *y })
            .collect();
        beam::draw(
            pen,
            events,
            &points,
            shapes.first().is_some_and(|shape| shape.up),
        );
        for (slot, tip) in all.iter_mut().skip(range.start).zip(tips) {
            *slot = Some(tip);
        }
    }
    all
}

/// A tie from each head to the same head of what follows, on the side away from the stem.
fn ties(
    pen: &mut PagePen,
    events: &[Written],
    shapes: &[NoteShape],
    columns: &ColumnPlaces,
    top: Length,
) {
    let all = events.iter().zip(shapes);
    for ((here, shape), (there, next)) in all
        .clone()
        .zip(all.skip(1))
        .filter(|((here, _), _)| here.tie.starts)
    {
        let from = columns.at(here.at)
            + shape.heads.iter().map(|head| head.shift).max().unwrap_or(0)
            + width(shape.sign)
            + 100;
        let to = columns.at(there.at) - next.left - 100;
        for (at, head) in shape.heads.iter().enumerate() {
            let over = if shape.heads.len() == 1 {
                !shape.up
            } else {
                at * 2 >= shape.heads.len()
            };
            tie(
                pen,
                Point {
                    x: from,
                    y: top + line(head.position),
                },
                to.max(from + 800),
                over,
            );
        }
    }
}

/// A curved sliver, thin at its ends: from 0.1 to 0.22 of a space, the music font's defaults.
fn tie(pen: &mut PagePen, from: Point, to: Length, over: bool) {
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

/// The number stands beyond the stems.
fn tuplet_sign(
    pen: &mut PagePen,
    events: &[Written],
    shapes: &[NoteShape],
    tips: &[Option<Length>],
    columns: &ColumnPlaces,
    top: Length,
) {
    let above = shapes
        .iter()
        .find(|shape| shape.stem)
        .is_none_or(|shape| shape.up);
    let ends = shapes
        .iter()
        .zip(tips)
        .map(|(shape, tip)| tip.unwrap_or(top + if shape.stem { shape.tip() } else { 2000 }));
    let y = if above {
        ends.min().unwrap_or(top).min(top) - 1000
    } else {
        ends.max().unwrap_or(top).max(top + 4000) + 800
    };
    let (Some(first), Some(last), Some(shape)) = (events.first(), events.last(), shapes.last())
    else {
        return;
    };
    let from = columns.at(first.at) + if above { 0 } else { -STEM };
    tuplet::draw(
        pen,
        events,
        (from, columns.at(last.at) + width(shape.sign)),
        y,
        above,
    );
}
