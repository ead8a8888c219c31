//! The key every slot stands in: found in the tune's first changes, where a `was` row keeps them.
//!
//! Other chords in place of some do not change what key a tune is in, so a reharmonised page is heard
//! in the keys of the page it was.

use crate::arrange::Trouble;
use crate::chart::{Bar, Chart, Slot};
use crate::chord::Chord;
use crate::harmony::regions;
use crate::pitch::Key;

/// The slots of a page, how they are played, and the key each stands in.
pub(crate) struct Keyed {
    pub slots: Vec<Slot>,
    pub played: Vec<usize>,
    pub regions: Vec<Option<Key>>,
}

impl Keyed {
    /// Those of a chart, `looped` where the last chord goes on to the first; refused where its play order
    /// can't be played.
    pub fn of(chart: &Chart, looped: bool) -> Result<Self, Trouble> {
        let slots = chart.slots();
        let played = chart
            .play_order()
            .map_err(Trouble::PlayOrder)?
            .played_slots(&slots);
        Ok(Self {
            regions: slot_regions(chart, &slots, &played, looped),
            slots,
            played,
        })
    }
}

/// The key of each slot the first time it is played; `None` where it never is, or no key is found.
pub(crate) fn slot_regions(
    chart: &Chart,
    slots: &[Slot],
    played: &[usize],
    looped: bool,
) -> Vec<Option<Key>> {
    let mut bars = chart.bars();
    let order = if bars.any(Bar::is_changed) {
        chart.play_order().ok()
    } else {
        None
    };
    let Some(order) = order else {
        return first_regions(slots, played, chart.key(), looped);
    };
    let before = chart.before().slots();
    let of_before = first_regions(&before, &order.played_slots(&before), chart.key(), looped);
    let sounding = |slot: &Slot| {
        let known = before.iter().zip(&of_before);
        let mut until = known.filter(|(b, _)| b.bar == slot.bar && b.beat <= slot.beat);
        until.next_back().and_then(|(_, region)| *region)
    };
    slots.iter().map(sounding).collect()
}

fn first_regions(
    slots: &[Slot],
    played: &[usize],
    key: Option<Key>,
    looped: bool,
) -> Vec<Option<Key>> {
    let found = regions(&chords_as_played(slots, played), key, looped);
    let first = at_first(slots.len(), played, found).into_iter();
    first.map(Option::flatten).collect()
}

/// The chords of the slots in the order they are played.
pub(crate) fn chords_as_played<'a>(slots: &'a [Slot], played: &[usize]) -> Vec<Option<&'a Chord>> {
    let chord = |&at: &usize| slots.get(at).and_then(|slot| slot.symbol.chord());
    played.iter().map(chord).collect()
}

/// The keys of the slots in the order they are played.
pub(crate) fn regions_as_played(of_slots: &[Option<Key>], played: &[usize]) -> Vec<Option<Key>> {
    let region = |&at: &usize| of_slots.get(at).copied().flatten();
    played.iter().map(region).collect()
}

/// For each of so many slots what was found for the first time it is played; `None` where it never is.
pub(crate) fn at_first<T>(slots: usize, played: &[usize], found: Vec<T>) -> Vec<Option<T>> {
    let mut first: Vec<Option<T>> = (0..slots).map(|_| None).collect();
    for (&at, found) in played.iter().zip(found) {
        if let Some(first) = first.get_mut(at) {
            first.get_or_insert(found);
        }
    }
    first
}
