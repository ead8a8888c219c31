//! One bar on one staff: notes, rests, beams, tuplets, and the ties inside it.

use super::beam;
use super::columns::ColumnPlaces;
use super::drawing::{Length, Point};
use super::measure::{MeasuredBar, Staff};
use super::pen::{PagePen, width};
use super::shape::{NoteShape, STEM};
use super::tie;
use super::tuplet;
use crate::score::Written;

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
    let all: Vec<(&Written, &NoteShape)> = events.iter().zip(shapes).collect();
    tie::within(pen, &all, columns, top);
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
