//! Where the hand goes out of its way for nothing.
//!
//! A voicing has a price: by how many semitones of motion the melody would move less with the best
//! alternative in its place, everything else held. Up to [`RuleSettings::detour`](super::RuleSettings::detour) semitones each time it is played
//! a voicing may cost; a dearer one is a detour. A few voicings in a row may leave and come back together:
//! then none of them alone is dear, and they are priced together.
//!
//! The dearest is found first and taken as mended, and the rest are priced anew; so the sound
//! neighbours of a voicing that leaps are not blamed for it.

use std::collections::{BTreeMap, BTreeSet};

use super::alone::best_in;
use super::left_hand::LeftHand;
use super::motion::Motion;
use crate::optimise::Cost;
use crate::voicing::Voicing;

/// The most voicings in a row that are priced together.
const LONGEST: usize = 4;

/// With more given voicings than this they are priced one by one only.
const MANY: usize = 512;

/// Voicings in a row for which the hand goes out of its way.
#[derive(Debug, Clone)]
pub(super) struct Detour {
    /// The first slot.
    pub slot: usize,
    /// The last slot.
    pub last: usize,
    /// What to play instead, by slot.
    pub voicings: Vec<(usize, Voicing)>,
    /// How many semitones of motion that would save.
    pub saved: u64,
    /// How often the voicings are played, the one that is played most.
    pub times: u64,
}

impl Detour {
    /// How much more it saves than it may cost, each voicing as often as it is played.
    fn over(&self, allowed: u32) -> i64 {
        let voicings = u64::try_from(self.voicings.len()).unwrap_or(u64::MAX);
        let may = u64::from(allowed)
            .saturating_mul(self.times)
            .saturating_mul(voicings);
        i64::try_from(self.saved).unwrap_or(i64::MAX) - i64::try_from(may).unwrap_or(i64::MAX)
    }
}

/// The detours of a hand, in the order of their slots.
pub(super) fn detours(motion: &Motion<'_>) -> Vec<Detour> {
    let allowed = motion.context.settings.detour;
    if !could_save(motion, allowed) {
        return Vec::new();
    }
    let longest = match motion.given_slots().nth(MANY) {
        Some(_) => 1,
        None => LONGEST,
    };
    let mut hand = motion.hand.clone();
    let mut priced: BTreeMap<usize, Detour> = BTreeMap::new();
    let mut found: Vec<Detour> = Vec::new();
    let mut done: BTreeSet<usize> = BTreeSet::new();
    let price = |start: usize, hand: &LeftHand, done: &BTreeSet<usize>| {
        let each = (1..=longest).filter_map(|count| detour(motion, hand, done, start, count));
        // The shortest of equals.
        let dear = each.filter(|detour| detour.over(allowed) > 0).rev();
        dear.max_by_key(|detour| detour.over(allowed))
    };
    for start in motion.given_slots() {
        priced.extend(price(start, &hand, &done).map(|detour| (start, detour)));
    }
    while let Some(start) = dearest(&priced, allowed) {
        let Some(detour) = priced.remove(&start) else {
            break;
        };
        let mut near: BTreeSet<usize> = BTreeSet::new();
        for (slot, voicing) in &detour.voicings {
            hand.set(*slot, voicing);
            done.insert(*slot);
            near.extend(hand.neighbours(*slot).chain([*slot]));
        }
        let starts: BTreeSet<usize> = near
            .iter()
            .flat_map(|slot| slot.saturating_sub(longest - 1)..=*slot)
            .collect();
        for start in starts {
            priced.remove(&start);
            priced.extend(price(start, &hand, &done).map(|detour| (start, detour)));
        }
        found.push(detour);
    }
    found.sort_by_key(|detour| detour.slot);
    found
}

/// The start of the dearest detour, the first of equals.
fn dearest(priced: &BTreeMap<usize, Detour>, allowed: u32) -> Option<usize> {
    let all = priced.iter().rev();
    let dearest = all.max_by_key(|(_, detour)| detour.over(allowed))?;
    Some(*dearest.0)
}

/// Whether any other voicings could save more than is allowed: no plan that holds what is meant is better
/// than the best.
fn could_save(motion: &Motion<'_>, allowed: u32) -> bool {
    let Some((_, best)) = &motion.best else {
        // No plan keeps the wishes: the hand is asked all the same.
        return motion.given_slots().next().is_some();
    };
    if !motion.meant.is_empty() {
        return true;
    }
    let now = motion.hand.cost().effort;
    now.saturating_sub(best.lower_bound.effort) > u64::from(allowed)
}

/// So many voicings from this slot on, and what would be saved by the best in their place; `None` where
/// nothing would, and where one of them is to stay.
fn detour(
    motion: &Motion<'_>,
    hand: &LeftHand,
    done: &BTreeSet<usize>,
    start: usize,
    count: usize,
) -> Option<Detour> {
    let slots: Vec<usize> = (start..start + count).collect();
    let given = |slot: &usize| motion.given.get(*slot).is_some_and(Option::is_some);
    let free = |slot: &usize| !done.contains(slot) && !motion.alternatives(*slot).is_empty();
    let in_a_row = |pair: &[usize]| match pair {
        [from, to] => hand.neighbours(*from).any(|other| other == *to),
        _ => false,
    };
    let meant = |slot: &usize| motion.meant.contains(slot);
    if slots.iter().any(meant) && !slots.iter().all(meant) {
        return None;
    }
    if !slots.windows(2).all(in_a_row) || !slots.iter().all(|slot| given(slot) && free(slot)) {
        return None;
    }
    let voicings = match slots.as_slice() {
        [slot] => vec![best_in(hand, *slot, motion.alternatives(*slot), None)?.voicing],
        slots => best_row(motion, hand, slots)?,
    };
    let now: Option<Vec<&Voicing>> = slots.iter().map(|slot| hand.voicing(*slot)).collect();
    if hand.stretch_breaks(&slots, &voicings) {
        return None;
    }
    let (before, after) = (hand.stretch(&slots, &now?), hand.stretch(&slots, &voicings));
    // What is dear only since another voicing is replaced is no fault of this one.
    let given = &motion.context.hand;
    let then: Option<Vec<&Voicing>> = slots.iter().map(|slot| given.voicing(*slot)).collect();
    let (then, new) = (
        given.stretch(&slots, &then?),
        given.stretch(&slots, &voicings),
    );
    let saved = before.motion.checked_sub(after.motion)?;
    let saved = saved.min(then.motion.checked_sub(new.motion)?);
    let effort = before.cost.effort.checked_sub(after.cost.effort)?;
    let times = slots.iter().map(|slot| hand.visits(*slot)).max()?;
    Some(Detour {
        slot: start,
        last: start + count - 1,
        voicings: slots
            .into_iter()
            .zip(voicings.into_iter().cloned())
            .collect(),
        // What the surcharges take back is no motion saved.
        saved: saved.min(effort),
        times,
    })
}

/// The best voicings for slots in a row, as if these were followed by one another only in their order.
fn best_row<'a>(
    motion: &'a Motion<'_>,
    hand: &LeftHand,
    slots: &[usize],
) -> Option<Vec<&'a Voicing>> {
    let mut rows: Vec<Vec<(Cost, usize)>> = Vec::new();
    for (at, slot) in slots.iter().enumerate() {
        let own = |voicing: &Voicing| hand.cost_beside(*slot, voicing, slots);
        let before = at
            .checked_sub(1)
            .and_then(|before| Some((*slots.get(before)?, rows.get(before)?)));
        let row = motion
            .alternatives(*slot)
            .iter()
            .map(|voicing| match before {
                None => (own(voicing), 0),
                Some((from, reached)) => {
                    let ways = motion.alternatives(from).iter().zip(reached).enumerate();
                    let ways = ways.map(|(index, (earlier, (cost, _)))| {
                        (
                            *cost + hand.step_cost((from, earlier), (*slot, voicing)),
                            index,
                        )
                    });
                    let (cost, index) = ways.min().unwrap_or_default();
                    (cost + own(voicing), index)
                }
            });
        let row = row.collect();
        rows.push(row);
    }
    let last = rows.last()?.iter().enumerate();
    let (mut at, _) = last.min_by_key(|(_, (cost, _))| *cost)?;
    let mut found = Vec::new();
    for (slot, row) in slots.iter().zip(&rows).rev() {
        found.push(motion.alternatives(*slot).get(at)?);
        at = row.get(at)?.1;
    }
    found.reverse();
    Some(found)
}
