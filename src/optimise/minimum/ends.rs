//! The two ends of a min-plus step, and what the rows of one are to the rows of the other.

use super::kernel::Lanes;
use super::key::NEVER;
use super::key_layout::KeyLayout;
use super::product::ProductRoom;
use super::rows::{DomainRows, Rows};
use super::side_motions;
use super::way::Way;
use super::whole_keys;
use crate::optimise::elimination_order::adjacency::Adjacency;
use crate::optimise::factor_graph::extremes::span;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::motion::step;
use crate::optimise::factor_graph::sides::{self, Side};
use std::hint::select_unpredictable;
use std::ops::Range;

/// So many pairs of rows make it worth while to look at effort alone, many pairs at a time.
pub(in crate::optimise) const MANY: usize = 300;

/// The two ends of a step: from `near`, which is minimised over, to the variable at the end of the link; all
/// rows of both that are looked at, or some.
#[derive(Clone, Copy)]
pub(in crate::optimise) struct Ends<'m> {
    pub model: &'m Model,
    pub near: u32,
    pub link: Adjacency,
    pub near_rows: DomainRows<'m>,
    pub far_rows: DomainRows<'m>,
    /// What these are all rows of; nothing if they are only some.
    pub rows: Option<&'m Rows>,
}

/// Far rows of one length that are measured side by side.
struct SideBlock {
    length: usize,
    /// How many there are; the last side may have places without a row.
    rows: usize,
    /// Where they lie.
    sides: Range<usize>,
}

/// Room kept from step to step.
#[derive(Default)]
pub(in crate::optimise) struct Scratch {
    /// What the step by effort alone keeps.
    pub product: ProductRoom,
    keys: Vec<u64>,
    /// Rows as they are measured side by side.
    pub sides: Vec<Side>,
    entries: Vec<i16>,
    /// The keys of lanes.
    pub words: Vec<u32>,
}

impl<'m> Ends<'m> {
    #[inline(always)]
    pub fn new(model: &'m Model, rows: &'m Rows, near: u32, link: Adjacency) -> Ends<'m> {
        Ends {
            model,
            near,
            link,
            near_rows: rows.of(model, near),
            far_rows: rows.of(model, link.to),
            rows: Some(rows),
        }
    }

    /// Whether effort alone is worth to be looked at first.
    pub fn is_large(&self) -> bool {
        self.link.is_free() && self.near_rows.len() * self.far_rows.len() >= MANY
    }

    /// Whether these are all rows of both domains.
    #[inline(always)]
    fn is_whole(&self) -> bool {
        self.rows.is_some_and(|rows| rows.whole)
    }

    /// The byte lanes for this step, if both ends fit them.
    pub fn lanes(&self) -> Option<Lanes<'m>> {
        if !self.is_whole() || !self.is_large() || self.link.count != 1 {
            return None;
        }
        let columns = |end| self.model.columns_of(self.model.domain_of(end));
        Lanes::between(columns(self.near)?, columns(self.link.to)?)
    }

    /// The length of all rows, if any two may meet and steps can be measured side by side.
    #[inline(always)]
    pub fn even(&self) -> Option<usize> {
        let near = self.model.domain_of(self.near);
        let far = self.model.domain_of(self.link.to);
        let length = match self.is_whole() {
            true => Some(near.length as usize).filter(|_| near.length == far.length),
            false => self.common_length(),
        };
        let length = length.filter(|length| (1..=sides::LONGEST).contains(length))?;
        let span = span(&near.extremes, &far.extremes);
        let fits = span * length as u64 <= sides::FARTHEST;
        (fits && self.link.is_free()).then_some(length)
    }

    /// The length of all rows that are looked at, if it is one.
    fn common_length(&self) -> Option<usize> {
        let mut rows = self.near_rows.iter().chain(self.far_rows.iter());
        let length = self.model.row(rows.next()?).len();
        rows.all(|row| self.model.row(row).len() == length)
            .then_some(length)
    }

    /// The rows of both ends as steps are measured side by side.
    #[inline(always)]
    fn laid<'s>(
        &self,
        length: usize,
        sides: &'s mut Vec<Side>,
        entries: &'s mut Vec<i16>,
    ) -> (&'s [Side], &'s [i16])
    where
        'm: 's,
    {
        let (model, near) = (self.model, self.model.domain_of(self.near));
        let far = model.domain_of(self.link.to);
        if self.is_whole() {
            return (model.sides_of(near), model.entries_of(&far.rows));
        }
        sides.clear();
        let copied = |end: u32| self.rows.and_then(|rows| rows.entries_of(end));
        if let Some((near, far)) = copied(self.near).zip(copied(self.link.to)) {
            sides::lay_out(near.chunks_exact(length), length, sides);
            return (sides, far);
        }
        let rows = self.near_rows.iter().map(|row| model.row(row));
        sides::lay_out(rows, length, sides);
        entries.clear();
        let rows = self.far_rows.iter();
        rows.for_each(|row| entries.extend_from_slice(model.row(row)));
        (sides, entries)
    }

    /// Every line in whole keys, with the first best near row of each far one. All rows must be even and
    /// have N entries.
    #[inline(always)]
    pub fn lines<const N: usize>(
        &self,
        layout: KeyLayout,
        sums: &[u64],
        out: &mut [u64],
        ways: &mut [Way],
        scratch: &mut Scratch,
    ) {
        let (near, far) = self.laid(N, &mut scratch.sides, &mut scratch.entries);
        let (count, units) = (self.near_rows.len(), layout.units(&self.link));
        if sums.len() == count {
            return whole_keys::one_line::<N>(near, far, units, sums, out, ways);
        }
        if let [near] = near.as_chunks::<N>().0 {
            return whole_keys::few_rows(near, far, units, count, sums, (out, ways));
        }
        whole_keys::keys::<N>(near, far, units, count, &mut scratch.keys);
        relax_noting(&scratch.keys, count, sums, out, ways);
    }

    /// The same with rows of any lengths, where any two may meet.
    pub fn noting(
        &self,
        layout: KeyLayout,
        sums: &[u64],
        out: &mut [u64],
        ways: &mut [Way],
        scratch: &mut Scratch,
    ) {
        let keys = self.keys(layout, scratch);
        relax_noting(keys, self.near_rows.len(), sums, out, ways);
    }

    /// Adds for a near row by its place the motions to all far ones, if they fit. Far rows of one length that
    /// stand beside each other are measured side by side.
    pub fn motions<'s>(
        &self,
        sides: &'s mut Vec<Side>,
    ) -> impl FnMut(usize, &mut Vec<i16>) -> bool + 's
    where
        'm: 's,
    {
        let ends = *self;
        sides.clear();
        let blocks = ends.lay_far_out(sides);
        move |near, motions| {
            let (row, start) = (ends.model.row(ends.near_rows.get(near)), motions.len());
            match &blocks {
                Some(blocks) => blocks.iter().for_each(|block| {
                    let end = motions.len() + block.rows;
                    side_motions::motions(block.length, row, &sides[block.sides.clone()], motions);
                    motions.truncate(end);
                }),
                None => motions.extend(ends.far_rows.iter().map(|far| {
                    let moved = step(row, ends.model.row(far));
                    i16::try_from(moved.motion).unwrap_or(i16::MAX)
                })),
            }
            let Ok(count) = i16::try_from(ends.link.count) else {
                return false;
            };
            if count != 1 {
                let counted = motions[start..].iter_mut();
                counted.for_each(|motion| *motion = motion.saturating_mul(count));
            }
            true
        }
    }

    /// Lays the far rows out by column, if all motions from near ones can be measured side by side.
    fn lay_far_out(&self, sides: &mut Vec<Side>) -> Option<Vec<SideBlock>> {
        let length = |row: u32| self.model.row(row).len();
        let longest = |rows: DomainRows<'_>| rows.iter().map(length).max().unwrap_or(0);
        let (near, far) = (longest(self.near_rows), longest(self.far_rows));
        let [from, to] = [self.near, self.link.to].map(|end| self.model.domain_of(end));
        // A pairing has at most so many pairs.
        let farthest = span(&from.extremes, &to.extremes) * (near + far) as u64;
        if near.max(far) > sides::LONGEST || farthest > sides::FARTHEST {
            return None;
        }
        let far: Vec<u32> = self.far_rows.iter().collect();
        let of_one_length = far.chunk_by(|a, b| length(*a) == length(*b));
        let blocks = of_one_length.map(|rows| {
            let (start, length) = (sides.len(), length(rows[0]));
            sides::lay_out(rows.iter().map(|row| self.model.row(*row)), length, sides);
            SideBlock {
                length,
                rows: rows.len(),
                sides: start..sides.len(),
            }
        });
        Some(blocks.collect())
    }

    /// The keys of all pairs on a free link: for each far row its pairs with all near ones.
    pub fn keys<'s>(&self, layout: KeyLayout, scratch: &'s mut Scratch) -> &'s [u64] {
        let keys = &mut scratch.keys;
        if let Some(length) = self.even().filter(|_| layout.full) {
            let (near, far) = self.laid(length, &mut scratch.sides, &mut scratch.entries);
            let (units, count) = (layout.units(&self.link), self.near_rows.len());
            match length {
                1 => whole_keys::keys::<1>(near, far, units, count, keys),
                2 => whole_keys::keys::<2>(near, far, units, count, keys),
                3 => whole_keys::keys::<3>(near, far, units, count, keys),
                4 => whole_keys::keys::<4>(near, far, units, count, keys),
                5 => whole_keys::keys::<5>(near, far, units, count, keys),
                _ => whole_keys::keys::<6>(near, far, units, count, keys),
            }
            return keys;
        }
        keys.clear();
        for theirs in self.far_rows.iter() {
            let key = |mine: u32| pair(self.model, layout, &self.link, mine, theirs);
            keys.extend(self.near_rows.iter().map(key));
        }
        keys
    }
}

/// Every line with the keys of all pairs, and the first best near row of each far one.
fn relax_noting(keys: &[u64], near: usize, sums: &[u64], out: &mut [u64], ways: &mut [Way]) {
    let far = keys.len() / near;
    let outs = out.chunks_exact_mut(far).zip(ways.chunks_exact_mut(far));
    for (sums, (out, ways)) in sums.chunks_exact(near).zip(outs) {
        for ((keys, out), way) in keys.chunks_exact(near).zip(out).zip(ways) {
            let mut best = (NEVER, 0u32);
            for ((&sum, &key), at) in sums.iter().zip(keys).zip(0..) {
                best = select_unpredictable(sum + key < best.0, (sum + key, at), best);
            }
            (*out, *way) = (best.0, best.1 as Way);
        }
    }
}

/// The key of a pair of rows on a link, or [`NEVER`] if they may not meet.
#[inline(always)]
pub(in crate::optimise) fn pair(
    model: &Model,
    layout: KeyLayout,
    link: &Adjacency,
    mine: u32,
    theirs: u32,
) -> u64 {
    let apart = link.onward && model.mark(mine).out != model.mark(theirs).into
        || link.back && model.mark(theirs).out != model.mark(mine).into;
    if apart {
        return NEVER;
    }
    let (a, b) = (model.row(mine), model.row(theirs));
    let moved = step(a, b);
    match link.rule.is_free() || link.rule.allows(a, b, moved) {
        true => layout.step(link, moved),
        false => NEVER,
    }
}
