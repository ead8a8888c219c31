//! The ways of the performance over a page: from which moment to which, how often, and what is seen of
//! what comes.
//!
//! Where it stops: what may stand at a moment is said in [`super::points`].

use std::collections::BTreeMap;

use super::parts::{Page, Part};
use super::points::{AHEAD, WHOLE};
use crate::arrange::Settings;
use crate::arrange::steps::Rules;
use crate::chart::Slot;
use crate::harmony::Ahead;
use crate::plan::Passage;

/// Where the performance goes on the first time it comes to the end of a slot: the slots without a
/// voicing it passes, and the moment it comes to; `None` for the end.
#[derive(Debug, Clone, Default)]
pub(super) struct Onward<'a> {
    pub silent: Vec<usize>,
    pub to: Option<usize>,
    /// Where that moment has been played before: what is written beyond it this time. What may be
    /// replaced there is not looked at, since it is looked at from its first time only.
    pub again: Option<Ahead<'a>>,
}

impl<'a> Onward<'a> {
    /// What lies ahead as this way is taken, of a part that takes `ahead` to lie ahead of it.
    pub fn seen(&self, part: &Part<'a>, ahead: Ahead<'a>) -> Ahead<'a> {
        self.again.map_or(ahead, |beyond| beyond.of(part.chord))
    }
}

/// The first and the last moment of each slot that sounds.
fn ends(page: &Page<'_>) -> BTreeMap<usize, (usize, usize)> {
    let mut ends = BTreeMap::new();
    for (at, moment) in page.moments.iter().enumerate() {
        ends.entry(moment.slot).or_insert((at, at)).1 = at;
    }
    ends
}

/// Where each slot goes on the first time it is played, by its last moment.
pub(super) fn onward<'a>(page: &Page<'a>, looped: bool) -> BTreeMap<usize, Onward<'a>> {
    let ends = ends(page);
    let mut found = BTreeMap::new();
    for (visit, slot) in page.played.iter().enumerate() {
        if let Some(&(_, last)) = ends.get(slot) {
            found
                .entry(last)
                .or_insert_with(|| way_on(page, &ends, visit, looped));
        }
    }
    // A slot that is never played goes nowhere.
    for (_, last) in ends.values() {
        found.entry(*last).or_default();
    }
    found
}

/// Where the performance goes on after one of its visits.
fn way_on<'a>(
    page: &Page<'a>,
    ends: &BTreeMap<usize, (usize, usize)>,
    visit: usize,
    looped: bool,
) -> Onward<'a> {
    let count = page.played.len();
    let reach = if looped { visit + 1 + count } else { count };
    let slot = |at: usize| page.played.get(at % count).copied();
    let mut onward = Onward::default();
    for at in visit + 1..reach {
        let Some(later) = slot(at) else { break };
        if let Some(&(first, _)) = ends.get(&later) {
            onward.to = Some(first);
            let mut before = page.played.iter().take(at.min(count));
            if before.any(|&earlier| earlier == later) {
                let beyond = (at + 1..reach.max(at + 1)).rev().filter_map(slot);
                let chords = beyond.filter_map(|slot| page.slots.get(slot)?.symbol.chord());
                onward.again = Some(chords.fold(Ahead::default(), Ahead::of));
            }
            break;
        }
        onward.silent.push(later);
    }
    onward
}

pub(super) fn visits(page: &Page<'_>) -> Vec<u64> {
    let mut visits = vec![0; page.slots.len()];
    for &slot in &page.played {
        if let Some(visits) = visits.get_mut(slot) {
            *visits += 1;
        }
    }
    visits
}

/// Every way of the performance from moment to moment, how often it is taken, and what must fit there.
pub(super) fn passages(
    page: &Page<'_>,
    settings: &Settings,
    onward: &BTreeMap<usize, Onward<'_>>,
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
        let first = onward.get(&from).is_none_or(|onward| onward.to == Some(to));
        let mut checks = [false; crate::plan::CHANNELS];
        checks[WHOLE] = to == from + 1;
        checks[AHEAD] = first;
        Passage {
            checks,
            ..Passage::loose(from, to)
                .taken(times)
                .ruled(rules.rule(from, to))
        }
    };
    taken.into_iter().map(passage).collect()
}
