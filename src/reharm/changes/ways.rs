//! The ways of the performance over a page: from which moment to which, how often, and what must fit
//! there.
//!
//! Where it stops: what may stand at a moment is said in [`super::points`].

use std::collections::{BTreeMap, BTreeSet};

use super::parts::Page;
use super::points::{AHEAD, WHOLE};
use super::walk::ends;
use crate::arrange::Settings;
use crate::arrange::steps::Rules;
use crate::chart::Slot;
use crate::plan::Passage;

/// How often each slot is played.
pub(super) fn visits(page: &Page<'_>) -> Vec<u64> {
    let mut visits = vec![0; page.slots.len()];
    for &slot in &page.played {
        if let Some(visits) = visits.get_mut(slot) {
            *visits += 1;
        }
    }
    visits
}

/// Every way of the performance from moment to moment, how often it is taken, and what must fit there;
/// where somebody looks (`looked`: from where at each moment), what it takes to lie ahead and what is there.
pub(super) fn passages(
    page: &Page<'_>,
    settings: &Settings,
    looked: &BTreeMap<usize, BTreeSet<usize>>,
) -> Vec<Passage> {
    let ends = ends(page);
    let slot = |moment: usize| {
        let moment = page.moments.get(moment)?;
        page.slots.get(moment.slot)
    };
    let slots: Vec<&Slot> = (0..page.moments.len()).filter_map(slot).collect();
    let rules = Rules::of(slots.into_iter(), settings);
    let visits = visits(page);
    let mut taken: BTreeMap<(usize, usize), u64> = BTreeMap::new();
    for (slot, (first, last)) in &ends {
        for moment in *first..*last {
            *taken.entry((moment, moment + 1)).or_default() += visits.get(*slot).unwrap_or(&0);
        }
    }
    let walk: Vec<usize> = page
        .played
        .iter()
        .copied()
        .filter(|slot| ends.contains_key(slot))
        .collect();
    let back = walk.last().zip(walk.first()).filter(|_| settings.looped);
    for (from, to) in walk.iter().zip(walk.iter().skip(1)).chain(back) {
        if let (Some((_, from)), Some((to, _))) = (ends.get(from), ends.get(to)) {
            *taken.entry((*from, *to)).or_default() += 1;
        }
    }
    let passage = |((from, to), times): ((usize, usize), u64)| {
        let mut checks = [false; crate::plan::CHANNELS];
        checks[WHOLE] = to == from + 1;
        checks[AHEAD] = looked.get(&to).is_some_and(|looked| looked.contains(&from));
        Passage {
            checks,
            ..Passage::loose(from, to)
                .taken(times)
                .ruled(rules.rule(from, to))
        }
    };
    taken.into_iter().map(passage).collect()
}
