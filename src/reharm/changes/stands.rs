//! What may lie ahead of every part, all its sights together.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use super::parts::Page;
use super::sights::{Sight, Sights};
use crate::plan::Unsolvable;

/// A part cannot have more stands than this: each is planned with every voicing of the part.
const MOST: usize = 100;

/// Nor more than this before those are dropped that nothing agrees with.
const MOST_TRIED: usize = 1 << 12;

/// A part, and one of the things that may lie ahead of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stand {
    pub part: usize,
    /// Its place among the part's stands.
    pub number: usize,
}

/// For each part what may lie ahead of it: for every sight of the part a value.
pub(super) struct Stands(Vec<Vec<Vec<usize>>>);

impl Stands {
    /// All that fit what may come next.
    ///
    /// # Errors
    ///
    /// [`Unsolvable::OverBudget`] if a part has too many, and would have fewer in the first round.
    pub fn of(page: &Page<'_>, sights: &Sights<'_>) -> Result<Self, Unsolvable> {
        let parts = 0..page.parts.len();
        let counts = parts.clone().map(|part| count(sights, part));
        let is_much = |count: usize, most| count > most && sights.sees_further();
        let tried = counts.max().unwrap_or_default();
        if is_much(tried, MOST_TRIED) {
            return Err(too_many(tried));
        }
        let mut stands = Self(parts.map(|part| every(sights, part)).collect());
        stands.drop_impossible(page, sights);
        let left = stands.0.iter().map(Vec::len).max().unwrap_or_default();
        match is_much(left, MOST) {
            true => Err(too_many(left)),
            false => Ok(stands),
        }
    }

    /// What a stand's part sees.
    pub fn shown(&self, stand: Stand) -> &[usize] {
        let of_part = self.0.get(stand.part);
        let shown = of_part.and_then(|shown| shown.get(stand.number));
        shown.map(Vec::as_slice).unwrap_or_default()
    }

    /// The stands of a part.
    pub fn of_part(&self, part: usize) -> impl Iterator<Item = Stand> + use<> {
        let count = self.0.get(part).map_or(0, Vec::len);
        (0..count).map(move |number| Stand { part, number })
    }

    /// Drops what nothing that may come next agrees with, until all that is left is agreed with.
    fn drop_impossible(&mut self, page: &Page<'_>, sights: &Sights<'_>) {
        let mut order: Vec<usize> = (0..page.parts.len()).collect();
        order.sort_by_key(|&at| Reverse(page.parts.get(at).map(|part| part.moments.end)));
        let mut dropped = true;
        while std::mem::take(&mut dropped) {
            for &part in &order {
                let ways = self.ways(page, sights, part);
                let Some(shown) = self.0.get_mut(part) else {
                    continue;
                };
                let before = shown.len();
                shown.retain(|shown| ways.iter().all(|way| way.allows(shown)));
                dropped |= shown.len() < before;
            }
        }
    }

    /// For each moment a part goes on to, one time or another, what it then may see.
    fn ways(&self, page: &Page<'_>, sights: &Sights<'_>, part: usize) -> Vec<Way> {
        let leading: BTreeSet<Option<usize>> = sights.of_part(part).map(|s| s.to).collect();
        let way = |to: Option<usize>| Way {
            sights: sights.leading(part, to),
            values: match to {
                None => sights.seen(part, None, None, &[]).into_iter().collect(),
                Some(at) => {
                    let next = page.followers(part, at);
                    let stands = next.flat_map(|(next, _)| self.of_part(next));
                    let seen = |s: Stand| sights.seen(part, to, Some(s.part), self.shown(s));
                    stands.filter_map(seen).collect()
                }
            },
        };
        leading.into_iter().map(way).collect()
    }
}

/// What a part may see one way on.
struct Way {
    /// The places of its sights that lead there.
    sights: Vec<usize>,
    /// The values they may have together.
    values: BTreeSet<Vec<usize>>,
}

impl Way {
    fn allows(&self, shown: &[usize]) -> bool {
        self.values.contains(&picked(shown, &self.sights))
    }
}

/// What some of a part's sights show.
pub(super) fn picked(shown: &[usize], sights: &[usize]) -> Vec<usize> {
    let values = sights.iter().filter_map(|&place| shown.get(place));
    values.copied().collect()
}

/// How many combinations there are of what the sights of a part may show.
fn count(sights: &Sights<'_>, part: usize) -> usize {
    let counts = sights.of_part(part).map(Sight::count);
    counts.fold(1, usize::saturating_mul)
}

/// Every one of them, the last sight changing fastest.
fn every(sights: &Sights<'_>, part: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    for sight in sights.of_part(part) {
        let longer = all.iter().flat_map(|shown: &Vec<usize>| {
            let longer = |value| shown.iter().copied().chain([value]).collect();
            (0..sight.count()).map(longer)
        });
        all = longer.collect();
    }
    all
}

fn too_many(stands: usize) -> Unsolvable {
    Unsolvable::OverBudget {
        costs: stands as u64,
    }
}
