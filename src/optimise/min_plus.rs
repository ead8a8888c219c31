//! One min-plus step: from the sums at the rows of one variable to a table over another.
//!
//! out(u) = min over v of sum(v) + step(v, u), for every line of sums. There are four ways to do it, all
//! with the same result; which is taken depends on sizes and on what the link allows.

use super::cost::{NEVER, Scale, join, span};
use super::graph::Link;
use super::kernel::{self, Lanes};
use super::plain;
use super::product::{self, product};
use super::rows::Rows;
use super::{Model, step};
use std::collections::BTreeMap;

/// So many pairs of rows make it worth while to look at effort alone, many pairs at a time.
pub(super) const MANY: usize = 300;

/// The two ends of a step: from `near`, which is minimised over, to the variable at the end of the link.
pub(super) struct Ends<'m> {
    pub model: &'m Model,
    pub rows: &'m Rows,
    pub near: u32,
    pub link: &'m Link,
}

/// Room kept from step to step.
#[derive(Default)]
pub(super) struct Scratch {
    pub kernel: kernel::Room,
    product: product::Room,
    /// Which near row was best for each far one; empty if that was not noted.
    pub ways: Vec<u32>,
    sides: Vec<plain::Side>,
}

impl<'m> Ends<'m> {
    pub fn new(model: &'m Model, rows: &'m Rows, near: u32, link: &'m Link) -> Ends<'m> {
        Ends {
            model,
            rows,
            near,
            link,
        }
    }

    fn near_rows(&self) -> &'m [u32] {
        self.rows.of(self.near)
    }

    fn far_rows(&self) -> &'m [u32] {
        self.rows.of(self.link.to)
    }

    /// Whether effort alone is worth to be looked at first.
    pub fn is_large(&self) -> bool {
        self.link.is_free() && self.near_rows().len() * self.far_rows().len() >= MANY
    }

    /// The byte lanes for this step, if both ends fit them.
    pub fn lanes(&self) -> Option<Lanes<'m>> {
        if !self.rows.whole || !self.is_large() || self.link.count != 1 {
            return None;
        }
        let near = self.model.domain_of(self.near).columns.as_ref()?;
        let far = self.model.domain_of(self.link.to).columns.as_ref()?;
        Lanes::between(near, far)
    }
}

/// Fills a table over the far end, for each line of sums over the near end.
pub(super) fn min_plus(
    ends: &Ends<'_>,
    scale: Scale,
    sums: &[u64],
    out: &mut [u64],
    scratch: &mut Scratch,
) {
    scratch.ways.clear();
    let (near, far) = (ends.near_rows().len(), ends.far_rows().len());
    let lines = sums.len() / near;
    let each = sums.chunks_exact(near).zip(out.chunks_exact_mut(far));
    if !ends.link.is_free() {
        return by_meetings(ends, scale, each);
    }
    if !scale.full && ends.is_large() {
        if lines < 4
            && let Some(lanes) = ends.lanes()
        {
            each.for_each(|(sums, out)| lanes.least(sums, out, &mut scratch.kernel));
            return;
        }
        if product(motions(ends), near, far, sums, out, &mut scratch.product) {
            return;
        }
    }
    if lines == 1 && one_line(ends, scale, sums, out, scratch) {
        return;
    }
    by_pairs(ends, scale, sums, out);
}

/// The effort of every pair: for each near row its pairs with all far rows.
fn motions<'e>(ends: &'e Ends<'_>) -> impl Iterator<Item = u64> + 'e {
    let pairs = ends.near_rows().iter().flat_map(|&near| {
        let far = ends.far_rows().iter();
        far.map(move |&far| (near, far))
    });
    pairs.map(|(near, far)| {
        let moved = step(ends.model.row(near), ends.model.row(far));
        ends.link.count.saturating_mul(moved.motion.into())
    })
}

/// The key of a pair of rows on a link, or [`NEVER`] if they may not meet.
#[inline(always)]
pub(super) fn pair(model: &Model, scale: Scale, link: &Link, mine: u32, theirs: u32) -> u64 {
    let (a, b) = (model.row(mine), model.row(theirs));
    let moved = step(a, b);
    if link.is_free() {
        return scale.step(link, moved);
    }
    let apart = link.onward && model.mark(mine).out != model.mark(theirs).into
        || link.back && model.mark(theirs).out != model.mark(mine).into;
    if apart || !link.rule.allows(a, b, moved) {
        return NEVER;
    }
    scale.step(link, moved)
}

/// Every pair's key once, then every line.
fn by_pairs(ends: &Ends<'_>, scale: Scale, sums: &[u64], out: &mut [u64]) {
    let (near, far) = (ends.near_rows(), ends.far_rows());
    let key = |&mine: &u32, &theirs: &u32| pair(ends.model, scale, ends.link, mine, theirs);
    let pairs: Vec<u64> = near
        .iter()
        .flat_map(|mine| far.iter().map(move |theirs| key(mine, theirs)))
        .collect();
    let lines = sums.chunks_exact(near.len());
    for (sums, out) in lines.zip(out.chunks_exact_mut(far.len())) {
        out.fill(NEVER);
        for (&sum, pairs) in sums.iter().zip(pairs.chunks_exact(far.len())) {
            for (best, &pair) in out.iter_mut().zip(pairs) {
                *best = (*best).min(sum + pair);
            }
        }
    }
}

/// Only the pairs that may meet: with boundaries, those whose numbers are the same.
fn by_meetings<'s>(
    ends: &Ends<'_>,
    scale: Scale,
    lines: impl Iterator<Item = (&'s [u64], &'s mut [u64])>,
) {
    let meetings = meetings(ends, scale);
    for (sums, out) in lines {
        out.fill(NEVER);
        for &(near, far, key) in &meetings {
            let best = &mut out[far as usize];
            *best = (*best).min(join(sums[near as usize], key));
        }
    }
}

/// The pairs of rows that may meet, with their keys.
fn meetings(ends: &Ends<'_>, scale: Scale) -> Vec<(u32, u32, u64)> {
    let link = ends.link;
    // The numbers a row shows to the other end, one for each direction that is bounded.
    let shown = |row: u32, near: bool| {
        let mark = ends.model.mark(row);
        let (onward, back) = match near {
            true => (mark.out, mark.into),
            false => (mark.into, mark.out),
        };
        (
            if link.onward { onward } else { 0 },
            if link.back { back } else { 0 },
        )
    };
    let mut far: BTreeMap<(u32, u32), Vec<u32>> = BTreeMap::new();
    for (at, &row) in (0..).zip(ends.far_rows()) {
        far.entry(shown(row, false)).or_default().push(at);
    }
    let mut found = Vec::new();
    for (near, &row) in (0..).zip(ends.near_rows()) {
        for &at in far.get(&shown(row, true)).into_iter().flatten() {
            let theirs = ends.far_rows()[at as usize];
            let key = pair(ends.model, scale, link, row, theirs);
            if key < NEVER {
                found.push((near, at, key));
            }
        }
    }
    found
}

/// One line, pair by pair, where all rows have the same length; says whether they do.
fn one_line(
    ends: &Ends<'_>,
    scale: Scale,
    sums: &[u64],
    out: &mut [u64],
    scratch: &mut Scratch,
) -> bool {
    let (model, rows) = (ends.model, ends.rows);
    let far = rows.packed(model, ends.link.to);
    let near = model.domain_of(ends.near);
    let (Some((length, far)), true) = (far, scale.full) else {
        return false;
    };
    let span = span(&near.extremes, &model.domain_of(ends.link.to).extremes);
    let fits = length <= plain::LONGEST && span * length as u64 <= u16::MAX.into();
    if near.length != Some(length) || !fits {
        return false;
    }
    let sides = if ends.near_rows().len() == near.rows.len() {
        model.sides_of(near)
    } else {
        scratch.sides.clear();
        let rows = ends.near_rows().iter().map(|&row| model.row(row));
        plain::lay_out(rows, length, &mut scratch.sides);
        &scratch.sides
    };
    scratch.ways.clear();
    scratch.ways.resize(out.len(), 0);
    let units = scale.units(ends.link);
    plain::plain(length, sides, &far, units, sums, out, &mut scratch.ways)
}
