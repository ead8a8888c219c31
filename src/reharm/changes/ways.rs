//! The ways of the performance over a page: from which moment to which, how often, and what must fit
//! there.
//!
//! Where it stops: what may stand at a moment is said in [`super::points`].

use std::collections::BTreeMap;

use super::ahead::Outlook;
use super::parts::SpannedPage;
use crate::arrange::Settings;
use crate::arrange::steps::{Rules, into};
use crate::chart::Wish;
use crate::optimise::Edge;

/// Every way of the performance from moment to moment, how often it is taken, and whether what meets
/// there must fit.
pub(super) fn edges(
    page: &SpannedPage<'_>,
    settings: &Settings,
    outlook: &Outlook<'_>,
) -> Vec<Edge> {
    let ends = ends(page);
    let slot = |moment: usize| {
        let moment = page.moments.get(moment)?;
        page.slots.get(moment.slot)
    };
    let slots = (0..page.moments.len()).filter_map(slot);
    let rules = slots.map(|slot| (into(slot, settings), matches!(slot.wish, Wish::Given(_))));
    let rules = Rules::of(rules);
    let mut taken: BTreeMap<(usize, usize), u64> = BTreeMap::new();
    for (slot, (first, last)) in &ends {
        for moment in *first..*last {
            *taken.entry((moment, moment + 1)).or_default() += page.performance.times(*slot);
        }
    }
    let sounding = page.performance.sounding(|slot| ends.contains_key(&slot));
    for step in sounding.transitions() {
        if let (Some((_, from)), Some((to, _))) = (ends.get(&step.from), ends.get(&step.to)) {
            *taken.entry((*from, *to)).or_default() += step.times;
        }
    }
    let edge = |((from, to), count): ((usize, usize), u64)| Edge {
        count,
        rule: rules.rule(from, to),
        bounded: to == from + 1 && outlook.joined(from),
        ..Edge::new(from, to)
    };
    taken.into_iter().map(edge).collect()
}

/// The first and the last moment of each slot that sounds.
fn ends(page: &SpannedPage<'_>) -> BTreeMap<usize, (usize, usize)> {
    let mut ends = BTreeMap::new();
    for (at, moment) in page.moments.iter().enumerate() {
        ends.entry(moment.slot).or_insert((at, at)).1 = at;
    }
    ends
}
