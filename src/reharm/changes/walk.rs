//! The performance over a page, visit by visit: what comes after each.

use std::collections::BTreeMap;

use super::parts::Page;

/// The slots of a page in the order they are played; twice over if the tune is looped, since the
/// second time round knows what follows the first.
pub(super) struct Walk {
    row: Vec<usize>,
    /// For each place of the row, how often its slot was played before.
    times: Vec<usize>,
    /// For each slot, the places of the row where it is played.
    visits: Vec<Vec<usize>>,
    /// For each slot that sounds its first and its last moment.
    ends: Vec<Option<(usize, usize)>>,
}

/// Where the performance goes on: the slots without a voicing it passes, and the moment it comes to,
/// with how often that was played before; `None` for the end.
#[derive(Debug, Clone, Default)]
pub(super) struct Onward {
    pub silent: Vec<usize>,
    pub to: Option<(usize, usize)>,
}

impl Walk {
    pub fn of(page: &Page<'_>, looped: bool) -> Self {
        let rounds = if looped { 2 } else { 1 };
        let row = page.played.repeat(rounds);
        let mut visits = vec![Vec::new(); page.slots.len()];
        let mut times = Vec::with_capacity(row.len());
        for (place, slot) in row.iter().enumerate() {
            if let Some(visits) = visits.get_mut(*slot) {
                times.push(visits.len());
                visits.push(place);
            }
        }
        let ends = ends(page);
        Self {
            ends: (0..page.slots.len())
                .map(|slot| ends.get(&slot).copied())
                .collect(),
            row,
            times,
            visits,
        }
    }

    /// How often a slot is played.
    pub fn times(&self, slot: usize) -> usize {
        self.visits.get(slot).map_or(0, Vec::len)
    }

    /// Where in the performance a slot is played for this time, counted from 0.
    pub fn place(&self, slot: usize, time: usize) -> Option<usize> {
        self.visits.get(slot)?.get(time).copied()
    }

    /// The slots that are played after that; none after a slot that is not played so often.
    pub fn after(&self, slot: usize, time: usize) -> &[usize] {
        let place = self.place(slot, time);
        let rest = place.and_then(|place| self.row.get(place + 1..));
        rest.unwrap_or_default()
    }

    /// Where the performance goes on after the last moment of a slot, played for this time.
    pub fn onward(&self, slot: usize, time: usize) -> Onward {
        let after = self.after(slot, time);
        let first = |slot: &usize| Some(self.moments(*slot)?.0);
        let silent = after.iter().take_while(|slot| first(slot).is_none());
        let silent: Vec<usize> = silent.copied().collect();
        let place = self.place(slot, time).map(|place| place + 1 + silent.len());
        let to = place.and_then(|place| {
            let to = self.row.get(place).and_then(first)?;
            Some((to, *self.times.get(place)?))
        });
        Onward { silent, to }
    }

    /// The first and the last moment of a slot; `None` if it doesn't sound.
    pub fn moments(&self, slot: usize) -> Option<(usize, usize)> {
        self.ends.get(slot).copied().flatten()
    }

    /// Whether a moment is the last of its slot.
    pub fn is_last(&self, moment: usize, slot: usize) -> bool {
        self.moments(slot).is_none_or(|(_, last)| last == moment)
    }
}

/// The first and the last moment of each slot that sounds.
pub(super) fn ends(page: &Page<'_>) -> BTreeMap<usize, (usize, usize)> {
    let mut ends = BTreeMap::new();
    for (at, moment) in page.moments.iter().enumerate() {
        ends.entry(moment.slot).or_insert((at, at)).1 = at;
    }
    ends
}
