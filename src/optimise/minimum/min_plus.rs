//! One min-plus step: from the sums at the rows of one variable to a table over another.
//!
//! out(u) = min over v of sum(v) + step(v, u), for every line of sums. There are four ways to do it, all
//! with the same result; which is taken depends on sizes and on what the link allows.

use super::ends::{Ends, Scratch};
use super::key::{NEVER, join};
use super::key_layout::KeyLayout;
use super::meetings::{RowsThatMeet, meetings};
use super::product::product;
use super::rows::DomainRows;
use crate::optimise::elimination_order::adjacency::Adjacency;
use std::hint::select_unpredictable;

/// Where fewer pairs of rows meet than this, each is looked at by itself.
const FEW: usize = 24;

/// Fills a table over the far end, for each line of sums over the near end.
pub(in crate::optimise) fn min_plus(
    ends: &Ends<'_>,
    layout: KeyLayout,
    sums: &[u64],
    out: &mut [u64],
    scratch: &mut Scratch,
) {
    if ends.link.onward || ends.link.back {
        return by_meetings(ends, layout, sums, out, scratch);
    }
    let (near, far) = (ends.near_rows.len(), ends.far_rows.len());
    if !layout.full && ends.link.is_free() && near * far >= FEW {
        let motions = ends.motions(&mut scratch.sides);
        if product(motions, near, far, sums, out, &mut scratch.product) {
            return;
        }
    }
    relax(ends.keys(layout, scratch), near, far, sums, out);
}

/// The same where boundaries hold: apart for all rows that show each other one number. Such rows may all
/// meet, so for them the quick ways do as well. Where only a few meet, each pair is looked at by itself.
fn by_meetings(
    ends: &Ends<'_>,
    layout: KeyLayout,
    sums: &[u64],
    out: &mut [u64],
    scratch: &mut Scratch,
) {
    let mut pairs = Vec::new();
    out.fill(NEVER);
    meetings(ends, |meeting| match meeting.pairs() < FEW {
        true => pairs.extend(meeting.keys(ends, layout)),
        false => all_meet(&meeting, ends, layout, (sums, &mut *out), scratch),
    });
    let (near, far) = (ends.near_rows.len(), ends.far_rows.len());
    for (sums, out) in sums.chunks_exact(near).zip(out.chunks_exact_mut(far)) {
        for &(near, far, key) in &pairs {
            let best = &mut out[far];
            *best = (*best).min(join(sums[near], key));
        }
    }
}

/// Fills what all lines have at the far rows of a meeting.
fn all_meet(
    meeting: &RowsThatMeet<'_>,
    ends: &Ends<'_>,
    layout: KeyLayout,
    (sums, out): (&[u64], &mut [u64]),
    scratch: &mut Scratch,
) {
    let link = Adjacency {
        onward: false,
        back: false,
        ..ends.link
    };
    let [near, far] = &meeting.places(ends);
    let near_rows = DomainRows {
        places: near,
        ..ends.near_rows
    };
    let far_rows = DomainRows {
        places: far,
        ..ends.far_rows
    };
    let some = Ends {
        link,
        near_rows,
        far_rows,
        rows: None,
        ..*ends
    };
    let (live, met) = meeting.gather(ends.near_rows.len(), sums);
    let mut least = vec![NEVER; live.len() * far_rows.len()];
    min_plus(&some, layout, &met, &mut least, scratch);
    let found = live.into_iter().zip(least.chunks_exact(far_rows.len()));
    for (line, least) in found {
        let far = ends.far_rows.len();
        meeting.scatter(least, &mut out[line * far..][..far]);
    }
}

/// Every line with the keys of all pairs.
fn relax(keys: &[u64], near: usize, far: usize, sums: &[u64], out: &mut [u64]) {
    for (sums, out) in sums.chunks_exact(near).zip(out.chunks_exact_mut(far)) {
        for (keys, out) in keys.chunks_exact(near).zip(out) {
            let mut best = NEVER;
            for (&sum, &key) in sums.iter().zip(keys) {
                best = select_unpredictable(sum + key < best, sum + key, best);
            }
            *out = best;
        }
    }
}
