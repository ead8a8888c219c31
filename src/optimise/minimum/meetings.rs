//! Which rows of two ends may meet where boundaries hold: those that show each other one number.

use super::ends::{Ends, pair};
use super::key::{NEVER, least};
use super::key_layout::KeyLayout;
use super::rows::DomainRows;

/// What a row shows to the other end, one number for each direction that is bounded; its length; and its place
/// among the rows that are looked at. All in one number, which is sorted sooner than four.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct RowNumbers(u128);

impl RowNumbers {
    fn new((onward, back): (u32, u32), length: usize, at: u32) -> Self {
        let shown = u128::from(onward) << 96 | u128::from(back) << 64;
        Self(shown | (length as u128) << 32 | u128::from(at))
    }

    fn shown(self) -> u64 {
        (self.0 >> 64) as u64
    }

    fn at(self) -> usize {
        self.0 as u32 as usize
    }
}

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
    ) -> impl Iterator<Item = (usize, usize, u64)> {
        let of_near = move |near: &RowNumbers| {
            let near = near.at();
            let mine = ends.near_rows.get(near);
            self.far.iter().map(move |far| {
                let far = far.at();
                let theirs = ends.far_rows.get(far);
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
            let rows = shown.iter().map(|row| rows.places[row.at()]);
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
            met.extend(self.near.iter().map(|row| sums[row.at()]));
            match least(&met[start..]) < NEVER {
                true => live.push(line),
                false => met.truncate(start),
            }
        }
        (live, met)
    }

    /// Puts what was found for the far rows into a line.
    pub fn scatter(&self, found: &[u64], line: &mut [u64]) {
        for (row, &found) in self.far.iter().zip(found) {
            line[row.at()] = found;
        }
    }
}

/// Visits the meetings on a link: every row is in one at the most.
pub(in crate::optimise) fn meetings(ends: &Ends<'_>, mut visit: impl FnMut(RowsThatMeet<'_>)) {
    let near = by_number(ends, ends.near_rows, true);
    let far = by_number(ends, ends.far_rows, false);
    let mut far = far.chunk_by(|a, b| a.shown() == b.shown()).peekable();
    for near in near.chunk_by(|a, b| a.shown() == b.shown()) {
        while far
            .next_if(|far| far[0].shown() < near[0].shown())
            .is_some()
        {}
        if let Some(far) = far.next_if(|far| far[0].shown() == near[0].shown()) {
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
    let numbered = numbered.map(|(row, at)| RowNumbers::new(shown(row), length(row), at));
    let mut found: Vec<RowNumbers> = numbered.collect();
    found.sort_unstable();
    found
}
