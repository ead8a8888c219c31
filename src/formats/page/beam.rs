//! Beams: the stems of a group end on one straight line.

use std::ops::Range;

use super::drawing::{Length, Point};
use super::head::line;
use super::pen::PagePen;
use super::shape::{NoteShape, STEM};
use crate::score::{Beam, Written};

const THICKNESS: Length = 500;
const DISTANCE: Length = 750;
/// How long the shortest stem of a group is, from its head to the first beam.
const SHORTEST: Length = 3000;
const STUB: Length = 1100;

/// The groups of a bar that share a beam.
pub(super) fn groups(all: &[Written]) -> Vec<Range<usize>> {
    let mut groups = Vec::new();
    let mut start = None;
    for (at, written) in all.iter().enumerate() {
        match written.beams.first() {
            Some(Beam::Begin) => start = Some(at),
            Some(Beam::End) => groups.extend(start.take().map(|start| start..at + 1)),
            _ => {}
        }
    }
    groups
}

/// The direction of a group's stems: away from its farthest head.
pub(super) fn up(positions: impl Iterator<Item = i32>) -> bool {
    let (low, high) = positions.fold((0, 0), |(low, high), position| {
        (low.min(position), high.max(position))
    });
    -low > high
}

/// Where a group's stems end: one line, no steeper than a space, that leaves every stem long enough.
pub(super) fn tips(shapes: &[&NoteShape], xs: &[Length], top: Length) -> Vec<Length> {
    let (Some(first), Some(last), Some(from), Some(to)) =
        (shapes.first(), shapes.last(), xs.first(), xs.last())
    else {
        return Vec::new();
    };
    let wide = (to - from).max(1);
    let rise = ((edge(last) - edge(first)) / 2).clamp(-1000, 1000);
    let lean = |x: Length| (i64::from(rise) * i64::from(x - from) / i64::from(wide)) as Length;
    let offsets = shapes.iter().zip(xs).map(|(shape, x)| {
        let levels = DISTANCE * (i32::from(shape.beams) - 2).max(0);
        let length = SHORTEST + levels;
        if first.up {
            edge(shape) - length - lean(*x)
        } else {
            edge(shape) + length - lean(*x)
        }
    });
    let base = if first.up {
        offsets.min()
    } else {
        offsets.max()
    };
    xs.iter()
        .map(|x| top + base.unwrap_or(0) + lean(*x))
        .collect()
}

/// The head nearest the beam.
fn edge(shape: &NoteShape) -> Length {
    let (low, high) = shape.span();
    line(if shape.up { high } else { low })
}

/// Draws the beams of a group; `stems` are where its stems stand and end.
pub(super) fn draw(pen: &mut PagePen, group: &[Written], stems: &[Point], up: bool) {
    let levels = group
        .iter()
        .map(|written| written.beams.len())
        .max()
        .unwrap_or(0);
    for level in 0..levels {
        let mut start = None;
        for (at, written) in group.iter().enumerate() {
            match written.beams.get(level) {
                Some(Beam::Begin) => start = Some(at),
                Some(Beam::End) => bar(pen, stems, (start.take().unwrap_or(at), at), level, up),
                Some(Beam::ForwardHook) => stub(pen, stems, (at, at + 1), level, up),
                Some(Beam::BackwardHook) if at > 0 => stub(pen, stems, (at, at - 1), level, up),
                _ => {}
            }
        }
    }
}

fn bar(pen: &mut PagePen, stems: &[Point], (from, to): (usize, usize), level: usize, up: bool) {
    if let (Some(from), Some(to)) = (stems.get(from), stems.get(to)) {
        slab(
            pen,
            *from,
            Point {
                x: to.x + STEM,
                y: to.y,
            },
            level,
            up,
        );
    }
}

/// A short beam on one note, towards its neighbour.
fn stub(pen: &mut PagePen, stems: &[Point], (at, towards): (usize, usize), level: usize, up: bool) {
    let (Some(here), Some(there)) = (stems.get(at), stems.get(towards)) else {
        return;
    };
    let side = (there.x - here.x).signum();
    let wide = (there.x - here.x).abs().max(1);
    let y = here.y + (there.y - here.y) * STUB.min(wide) / wide;
    let end = Point {
        x: here.x + side * STUB.min(wide),
        y,
    };
    let (left, right) = if side < 0 {
        (
            end,
            Point {
                x: here.x + STEM,
                y: here.y,
            },
        )
    } else {
        (*here, end)
    };
    slab(pen, left, right, level, up);
}

fn slab(pen: &mut PagePen, from: Point, to: Point, level: usize, up: bool) {
    let side = if up { 1 } else { -1 };
    let offset = side * DISTANCE * level as Length;
    let shifted = |point: Point, by: Length| Point {
        x: point.x,
        y: point.y + by,
    };
    let (near, far) = (offset, offset + side * THICKNESS);
    pen.polygon(&[
        shifted(from, near),
        shifted(to, near),
        shifted(to, far),
        shifted(from, far),
    ]);
}
