//! Which rows of two ends may meet where boundaries hold: those that show each other one number.

use super::key::{NEVER, least};
use super::min_plus::Ends;

/// Rows that all show one number, by their places among those that are looked at.
pub(super) struct Meeting {
    pub near: Vec<u32>,
    pub far: Vec<u32>,
}

impl Meeting {
    /// The rows at the near and at the far end, by their numbers among all rows of the model.
    pub fn rows(&self, ends: &Ends<'_>) -> [Vec<u32>; 2] {
        let rows = |places: &[u32], rows: &[u32]| {
            let rows = places.iter().map(|&at| rows[at as usize]);
            rows.collect()
        };
        [
            rows(&self.near, ends.near_rows),
            rows(&self.far, ends.far_rows),
        ]
    }

    /// The sums at the near rows, line by line; the lines, of so many sums each, in which one of them can be.
    pub fn gather(&self, width: usize, sums: &[u64], met: &mut Vec<u64>) -> Vec<usize> {
        met.clear();
        let mut live = Vec::new();
        for (line, sums) in sums.chunks_exact(width).enumerate() {
            let start = met.len();
            met.extend(self.near.iter().map(|&at| sums[at as usize]));
            match least(&met[start..]) < NEVER {
                true => live.push(line),
                false => met.truncate(start),
            }
        }
        live
    }
}

/// The meetings on a link: every row is in one at the most.
pub(super) fn meetings(ends: &Ends<'_>) -> Vec<Meeting> {
    let near = by_number(ends, ends.near_rows, true);
    let far = by_number(ends, ends.far_rows, false);
    let mut far = far.chunk_by(|a, b| a.0 == b.0).peekable();
    let mut found = Vec::new();
    for near in near.chunk_by(|a, b| a.0 == b.0) {
        while far.next_if(|far| far[0].0 < near[0].0).is_some() {}
        if let Some(far) = far.next_if(|far| far[0].0 == near[0].0) {
            let [near, far] = [near, far].map(|rows| rows.iter().map(|row| row.1).collect());
            found.push(Meeting { near, far });
        }
    }
    found
}

/// What each row shows to the other end, one number for each direction that is bounded, and its place; by
/// these numbers, then by place.
fn by_number(ends: &Ends<'_>, rows: &[u32], near: bool) -> Vec<((u32, u32), u32)> {
    let shown = |&row: &u32| {
        let mark = ends.model.mark(row);
        let (onward, back) = match near {
            true => (mark.out, mark.into),
            false => (mark.into, mark.out),
        };
        (
            if ends.link.onward { onward } else { 0 },
            if ends.link.back { back } else { 0 },
        )
    };
    let mut found: Vec<_> = rows.iter().map(shown).zip(0..).collect();
    found.sort_unstable();
    found
}
