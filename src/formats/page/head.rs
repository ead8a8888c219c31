//! Note heads: on which side of the stem each stands, and how high.

use super::drawing::Length;

/// A note head beside its stem.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Head {
    /// Lines and spaces above the middle line.
    pub position: i32,
    /// To the right of the column.
    pub shift: Length,
}

/// How far below the upper line of the staff a line or space lies.
pub(super) const fn line(position: i32) -> Length {
    2000 - position * 500
}

/// Heads a step apart can't stand above each other: every second one goes to the other side.
pub(super) fn heads(positions: &[i32], up: bool, whole: bool, side: Length) -> Vec<Head> {
    let mut heads: Vec<Head> = positions
        .iter()
        .map(|position| Head {
            position: *position,
            shift: 0,
        })
        .collect();
    let upwards = up || whole;
    if !upwards {
        heads.reverse();
    }
    let mut before: Option<Head> = None;
    for head in &mut heads {
        if before.is_some_and(|last| (last.position - head.position).abs() <= 1 && last.shift == 0)
        {
            head.shift = if upwards { side } else { -side };
        }
        before = Some(*head);
    }
    heads.sort_by_key(|head| head.position);
    heads
}
