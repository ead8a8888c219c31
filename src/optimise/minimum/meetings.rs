//! Which rows of two ends may meet where boundaries hold: those that show each other one number.

use super::ends::{Ends, pair};
use super::key::{NEVER, least};
use super::key_layout::KeyLayout;
use super::rows::DomainRows;

/// What a row shows to the other end, one number for each direction that is bounded; its length; and its place
/// among the rows that are looked at.
type RowNumbers = ((u32, u32), usize, u32);

/// Rows that all show one number.
pub(in crate::optimise) struct RowsThatMeet<'s> {
    near: &'s [RowNumbers],
    far: &'s [RowNumbers],
}

impl RowsThatMeet<'_> {
    /// How many pairs of rows there are.
    pub fn pairs(&self) -> usize {
        self.near.len() * self.far.len()
    }

    /// The pairs that the rule of the link allows, by the places of their rows, with their keys.
    pub fn keys(
        &self,
        ends: &Ends<'_>,
        layout: KeyLayout,
    ) -> impl Iterator<Item = (u32, u32, u64)> {
        let of_near = move |&(_, _, near): &RowNumbers| {
            let mine = ends.near_rows.get(near as usize);
            self.far.iter().map(move |&(_, _, far)| {
                let theirs = ends.far_rows.get(far as usize);
                (
                    near,
                    far,
                    pair(ends.model, layout, &ends.link, mine, theirs),
                )
            })
        };
        let all = self.near.iter().flat_map(of_near);
        all.filter(|(_, _, key)| *key < NEVER)
    }

    /// The rows at the near and at the far end, by their places in the domains.
    pub fn places(&self, ends: &Ends<'_>) -> [Vec<u32>; 2] {
        let rows = |shown: &[RowNumbers], rows: DomainRows<'_>| {
            let rows = shown.iter().map(|&(_, _, at)| rows.places[at as usize]);
            rows.collect()
        };
        [
            rows(self.near, ends.near_rows),
            rows(self.far, ends.far_rows),
        ]
    }

    /// The lines, of so many sums each, in which a near row can be at all, and the sums of these rows there.
    pub fn gather(&self, width: usize, sums: &[u64]) -> (Vec<usize>, Vec<u64>) {
        let (mut live, mut met) = (Vec::new(), Vec::new());
        for (line, sums) in sums.chunks_exact(width).enumerate() {
            let start = met.len();
            met.extend(self.near.iter().map(|&(_, _, at)| sums[at as usize]));
            match least(&met[start..]) < NEVER {
                true => live.push(line),
                false => met.truncate(start),
            }
        }
        (live, met)
    }

    /// Puts what was found for the far rows into a line.
    pub fn scatter(&self, found: &[u64], line: &mut [u64]) {
        for (&(_, _, at), &found) in self.far.iter().zip(found) {
            line[at as usize] = found;
        }
    }
}

/// Visits the meetings on a link: every row is in one at the most.
pub(in crate::optimise) fn meetings(ends: &Ends<'_>, mut visit: impl FnMut(RowsThatMeet<'_>)) {
    let near = by_number(ends, ends.near_rows, true);
    let far = by_number(ends, ends.far_rows, false);
    let mut far = far.chunk_by(|a, b| a.0 == b.0).peekable();
    for near in near.chunk_by(|a, b| a.0 == b.0) {
        while far.next_if(|far| far[0].0 < near[0].0).is_some() {}
        if let Some(far) = far.next_if(|far| far[0].0 == near[0].0) {
            visit(RowsThatMeet { near, far });
        }
    }
}

/// What each row shows, by these numbers. Those of one length stand together: they are measured side by side.
fn by_number(ends: &Ends<'_>, rows: DomainRows<'_>, near: bool) -> Vec<RowNumbers> {
    let shown = |row: u32| {
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
    let length = |row| ends.model.row(row).len();
    let numbered = rows.iter().zip(0..);
    let numbered = numbered.map(|(row, place)| (shown(row), length(row), place));
    let mut found: Vec<RowNumbers> = numbered.collect();
    found.sort_unstable();
    found
}
