//! The end of a phrase: a dominant and the tonic it arrives on (common practice; a cadence ends a phrase
//! in every harmony text).
//!
//! A phrase ends with a tonic that begins in the second half of it, or that lasts to the end of the section, where a dominant of
//! it comes just before.

use super::HeldBy;
use super::keeps::leads_home;
use super::page::HeldPage;
use crate::chart::{Beats, Slot};
use crate::reharm::phrase::PHRASE;

pub(super) fn arrivals(page: &HeldPage<'_>) -> Vec<(usize, HeldBy)> {
    let mut held = Vec::new();
    let visits = page.visits();
    for (at, pair) in visits.windows(2).enumerate() {
        let [before, here] = *pair else { continue };
        let cadence = page
            .chord(before)
            .zip(page.chord(here))
            .is_some_and(|(v, i)| page.is_tonic(here) && leads_home(v, i));
        let rest = visits.get(at + 1..).unwrap_or_default();
        if cadence && ends_phrase(page, rest) {
            held.push((here, HeldBy::Arrival));
            let earlier = visits.get(..=at).unwrap_or_default();
            held.extend(dominant(page, earlier).map(|slot| (slot, HeldBy::Dominant)));
        }
    }
    held
}

/// The slots of the chord that ends a row of visits.
fn dominant<'r>(page: &'r HeldPage<'_>, visits: &'r [usize]) -> impl Iterator<Item = usize> + 'r {
    let symbol = |at: &usize| page.chord(*at).map(|chord| chord.symbol());
    let last = visits.last().and_then(symbol);
    let slots = visits.iter().rev().copied();
    slots.take_while(move |at| symbol(at) == last)
}

/// Whether a phrase ends with the tonic that begins these visits.
fn ends_phrase(page: &HeldPage<'_>, visits: &[usize]) -> bool {
    let Some(first) = visits.first().and_then(|at| page.slot(*at)) else {
        return false;
    };
    let root = page.chord(first.index).map(|chord| chord.root().class());
    let stays = |at: &&usize| {
        page.is_tonic(**at) && page.chord(**at).map(|chord| chord.root().class()) == root
    };
    let tonic: Vec<&Slot> = visits
        .iter()
        .take_while(stays)
        .filter_map(|at| page.slot(*at))
        .collect();
    let lasts: Beats = tonic.iter().map(|slot| slot.beats).sum();
    let after = visits.get(tonic.len()).and_then(|at| page.slot(*at));
    let section = |slot: &Slot| slot.place.section;
    let to_the_end = after.is_none_or(|after| section(after) != section(first));
    let late = page.phrases.bar_of_section(first) % PHRASE >= PHRASE / 2;
    let weighs = lasts + lasts >= first.bar_beats;
    weighs && (late || to_the_end)
}
