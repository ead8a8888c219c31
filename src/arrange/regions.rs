//! The key every slot stands in: found in the tune's first changes, where a `was` row keeps them.
//!
//! Other chords in place of some do not change what key a tune is in, so a reharmonised page is heard
//! in the keys of the page it was.

use crate::chart::{Chart, Slot};
use crate::chord::Chord;
use crate::harmony::regions;
use crate::pitch::Key;

/// The key of each slot the first time it is played; `None` where it never is, or no key is found.
pub(super) fn slot_regions(chart: &Chart, slots: &[Slot], played: &[usize]) -> Vec<Option<Key>> {
    let says_before = |bar: &crate::chart::Bar| bar.was.as_ref().is_some_and(|was| !was.is_empty());
    let road = chart.road().ok().filter(|_| chart.bars().any(says_before));
    let Some(road) = road else {
        return first_regions(slots, played, chart.key());
    };
    let before = chart.before().slots();
    let of_before = first_regions(&before, &road.played_slots(&before), chart.key());
    let sounding = |slot: &Slot| {
        let known = before.iter().zip(&of_before);
        let mut until = known.filter(|(b, _)| b.bar == slot.bar && b.beat <= slot.beat);
        until.next_back().and_then(|(_, region)| *region)
    };
    slots.iter().map(sounding).collect()
}

fn first_regions(slots: &[Slot], played: &[usize], key: Option<Key>) -> Vec<Option<Key>> {
    let chord = |&at: &usize| slots.get(at).and_then(|slot| slot.symbol.chord());
    let chords: Vec<Option<&Chord>> = played.iter().map(chord).collect();
    let mut first = vec![None; slots.len()];
    for (&at, region) in played.iter().zip(regions(&chords, key)) {
        if let Some(first) = first.get_mut(at) {
            first.get_or_insert(region);
        }
    }
    first.into_iter().map(Option::flatten).collect()
}
