//! Where the hand goes out of its way for nothing.
//!
//! A voicing has a price: by how many semitones of motion the tune would cost less with the best
//! alternative in its place, everything else held. Up to [`RuleSettings::detour`](super::RuleSettings::detour) semitones each time it is played
//! a voicing may cost; a dearer one is a detour. A few voicings in a row may leave and come back together:
//! then none of them alone is dear, and they are priced together.
//!
//! The dearest is found first and taken as mended, and the rest are priced anew; so the sound
//! neighbours of a voicing that leaps are not blamed for it.

use std::collections::{BTreeMap, BTreeSet};

use super::alone::best_in;
use super::best_in_row::best_in_row;
use super::left_hand::LeftHand;
use super::motion::Motion;
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
    if !could_save(motion, motion.context.settings.detour) {
        return Vec::new();
    }
    let mut search = DetourSearch::of(motion);
    let mut found = Vec::new();
    while let Some(detour) = search.dearest() {
        search.mend(&detour);
        found.push(detour);
    }
    found.sort_by_key(|detour| detour.slot);
    found
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

/// The detours of a hand, found one after the other.
struct DetourSearch<'m, 'c> {
    motion: &'m Motion<'c>,
    allowed: u32,
    /// The most voicings in a row that are priced together.
    longest: usize,
    /// The hand in which what was found so far is mended.
    hand: LeftHand,
    /// The slots of that.
    done: BTreeSet<usize>,
    /// The dearest detour from each slot on, where there is one.
    priced: BTreeMap<usize, Detour>,
}

impl<'m, 'c> DetourSearch<'m, 'c> {
    fn of(motion: &'m Motion<'c>) -> Self {
        let longest = match motion.given_slots().nth(MANY) {
            Some(_) => 1,
            None => LONGEST,
        };
        let mut search = Self {
            motion,
            allowed: motion.context.settings.detour,
            longest,
            hand: LeftHand::clone(&motion.hand),
            done: BTreeSet::new(),
            priced: BTreeMap::new(),
        };
        motion.given_slots().for_each(|start| search.price(start));
        search
    }

    /// Finds the dearest detour from a slot on; of equals the shortest.
    fn price(&mut self, start: usize) {
        self.priced.remove(&start);
        let each = (1..=self.longest).filter_map(|count| self.detour(start, count));
        let dear = each.filter(|detour| detour.over(self.allowed) > 0).rev();
        let dearest = dear.max_by_key(|detour| detour.over(self.allowed));
        self.priced.extend(dearest.map(|detour| (start, detour)));
    }

    /// Takes out the dearest detour, the first of equals.
    fn dearest(&mut self) -> Option<Detour> {
        let all = self.priced.iter().rev();
        let (start, _) = all.max_by_key(|(_, detour)| detour.over(self.allowed))?;
        let start = *start;
        self.priced.remove(&start)
    }

    /// Plays what is better in place of a detour, and prices anew what lies near it.
    fn mend(&mut self, detour: &Detour) {
        let mut near: BTreeSet<usize> = BTreeSet::new();
        for (slot, voicing) in &detour.voicings {
            self.hand.set(*slot, voicing);
            self.done.insert(*slot);
            near.extend(self.hand.neighbours(*slot).chain([*slot]));
        }
        let starts = |slot: &usize| slot.saturating_sub(self.longest - 1)..=*slot;
        let starts: BTreeSet<usize> = near.iter().flat_map(starts).collect();
        starts.into_iter().for_each(|start| self.price(start));
    }

    /// So many voicings from this slot on, and what would be saved by the best in their place; `None` where
    /// nothing would, and where one of them is to stay.
    fn detour(&self, start: usize, count: usize) -> Option<Detour> {
        let (motion, hand) = (self.motion, &self.hand);
        let slots: Vec<usize> = (start..start + count).collect();
        if !self.may_change(&slots) {
            return None;
        }
        let voicings = match slots.as_slice() {
            [slot] => vec![best_in(hand, *slot, motion.alternatives(*slot), None)?.voicing],
            slots => best_in_row(motion, hand, slots)?,
        };
        if hand.stretch_breaks(&slots, &voicings) {
            return None;
        }
        let saved = self.saved(&slots, &voicings)?;
        let times = slots.iter().map(|slot| hand.visits(*slot)).max()?;
        let voicings = voicings.into_iter().cloned();
        Some(Detour {
            slot: start,
            last: start + count - 1,
            voicings: slots.into_iter().zip(voicings).collect(),
            saved,
            times,
        })
    }

    /// Whether these slots follow each other, all have a given voicing and an alternative, and either all
    /// are meant as they are or none is.
    fn may_change(&self, slots: &[usize]) -> bool {
        let motion = self.motion;
        let meant = |slot: &usize| motion.meant.contains(slot);
        let given = |slot: &usize| motion.given.get(*slot).is_some_and(Option::is_some);
        let free =
            |slot: &usize| !self.done.contains(slot) && !motion.alternatives(*slot).is_empty();
        let in_a_row = |pair: &[usize]| match pair {
            [from, to] => self.hand.neighbours(*from).any(|other| other == *to),
            _ => false,
        };
        let alike = !slots.iter().any(meant) || slots.iter().all(meant);
        alike
            && slots.windows(2).all(in_a_row)
            && slots.iter().all(|slot| given(slot) && free(slot))
    }

    /// The motion that other voicings would save; `None` where they would save nothing.
    fn saved(&self, slots: &[usize], voicings: &[&Voicing]) -> Option<u64> {
        let change = |hand: &LeftHand| {
            let now: Option<Vec<&Voicing>> = slots.iter().map(|slot| hand.voicing(*slot)).collect();
            Some((hand.stretch(slots, &now?), hand.stretch(slots, voicings)))
        };
        let (before, after) = change(&self.hand)?;
        // What is dear only since another voicing is replaced is no fault of this one.
        let (then, new) = change(&self.motion.context.hand)?;
        let saved = before.motion.checked_sub(after.motion)?;
        let saved = saved.min(then.motion.checked_sub(new.motion)?);
        // What the surcharges take back is no motion saved.
        let effort = before.cost.effort.checked_sub(after.cost.effort)?;
        Some(saved.min(effort))
    }
}
