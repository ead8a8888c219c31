//! Accidentals in front of a chord: those that would touch stand in columns of their own, filled from the outside in (common
//! practice of engraving, no source).

use super::drawing::Length;
use super::head::{Head, line};
use super::pen::{reach, width};

use crate::score::Written;

const ACCIDENTAL_GAP: Length = 180;

/// An accidental: its sign, how far right of the column it begins (a negative number), and its line or space.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Accidental {
    pub sign: &'static str,
    pub x: Length,
    pub position: i32,
}

/// From the outside in: the highest, the lowest, the next highest; each as far right as nothing is in its way.
pub(super) fn accidentals(
    written: &Written,
    positions: &[i32],
    heads: &[Head],
    head_width: Length,
) -> Vec<Accidental> {
    let printed = written.accidentals.iter().zip(positions);
    let mut wanted: Vec<(&'static str, i32)> = printed
        .filter_map(|(one, position)| Some((name((*one)?), *position)))
        .collect();
    let mut placed: Vec<Accidental> = Vec::new();
    let mut from_top = true;
    while !wanted.is_empty() {
        let (sign, position) = if from_top {
            wanted.remove(wanted.len() - 1)
        } else {
            wanted.remove(0)
        };
        from_top = !from_top;
        let x = free_place(sign, position, &placed, heads, head_width);
        placed.push(Accidental { sign, x, position });
    }
    placed
}

/// The rightmost place left of the heads at this height and of the accidentals that stand already.
fn free_place(
    sign: &'static str,
    position: i32,
    placed: &[Accidental],
    heads: &[Head],
    head_width: Length,
) -> Length {
    let near = |head: &&Head| (line(head.position) - line(position)).abs() < reach(sign).1 + 500;
    let edge = heads
        .iter()
        .filter(near)
        .map(|head| head.shift.min(0))
        .min()
        .unwrap_or(0)
        .min(head_width);
    let mut x = edge - ACCIDENTAL_GAP - width(sign);
    let mut others: Vec<&Accidental> = placed
        .iter()
        .filter(|other| touches(sign, position, other))
        .collect();
    others.sort_by_key(|other| -other.x);
    for other in others {
        if x < other.x + width(other.sign) + ACCIDENTAL_GAP / 2
            && other.x < x + width(sign) + ACCIDENTAL_GAP / 2
        {
            x = other.x - ACCIDENTAL_GAP / 2 - width(sign);
        }
    }
    x
}

/// Whether two accidentals overlap in height.
pub(super) fn touches(sign: &str, position: i32, other: &Accidental) -> bool {
    let ((low, high), (other_low, other_high)) = (reach(sign), reach(other.sign));
    let (here, there) = (position * 500, other.position * 500);
    here + low < there + other_high && there + other_low < here + high
}

const fn name(alter: i8) -> &'static str {
    match alter {
        ..=-2 => "accidentalDoubleFlat",
        -1 => "accidentalFlat",
        0 => "accidentalNatural",
        1 => "accidentalSharp",
        2.. => "accidentalDoubleSharp",
    }
}
