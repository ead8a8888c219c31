//! What a hand strikes in each slot of a page, told from when it plays.
//!
//! What is struck within a quarter of a beat of a chord's place is struck there: that takes in what a player
//! is early or late, rolled chords, and eighths swung as far as 3 : 1. What sounds on through half of a chord
//! is part of it. How far off a player may be is a number of ours, from no source.

use num_rational::Ratio;

use super::file::TimedKey;
use super::read::spelled;
use crate::chart::sizes::MOST_NOTES_OF_A_HAND;
use crate::chart::{Chart, PlayOrder, Slot, Wish};
use crate::formats::report::{
    BEHIND_END, HAND_MOVES, HAND_NOTES, Loss, LossReport, NO_CHORD_NOTES, NOT_PLAYED, STRUCK_AGAIN,
    STRUCK_AHEAD, STRUCK_LATE,
};
use crate::pitch::Pitch;
use crate::score::{Quarters, SlotTime};

/// What a hand strikes at one time.
type StruckKeys = (Quarters, Vec<Pitch>);

/// What is struck or held in one slot.
#[derive(Debug, Clone, Default)]
struct SlotKeys {
    /// Struck in its place, or held into it.
    keys: Vec<Pitch>,
    /// Struck while it lasts, in order.
    later: Vec<StruckKeys>,
}

/// Goes through what was played.
pub(super) struct Listener<'a> {
    notes: Vec<TimedKey>,
    slots: &'a [Slot],
    times: &'a [SlotTime],
    order: &'a PlayOrder,
    /// What of it is nothing that a chart can hold.
    pub report: LossReport,
}

impl<'a> Listener<'a> {
    /// Notes against the slots of a page that is played from its first bar to its last, with the time of
    /// each; `order` says which bars of the chart they were.
    pub fn new(
        notes: Vec<TimedKey>,
        slots: &'a [Slot],
        times: &'a [SlotTime],
        order: &'a PlayOrder,
    ) -> Self {
        Self {
            notes,
            slots,
            times,
            order,
            report: LossReport::default(),
        }
    }

    /// What every slot is to be played with, as a chart has it.
    pub fn wishes(&mut self, chart: &Chart) -> Vec<Wish> {
        let hands = self.hands();
        let slots = self.slots.iter().zip(hands);
        slots
            .map(|(slot, hand)| self.wish(slot, hand, chart))
            .collect()
    }

    /// What every slot is played with.
    fn hands(&mut self) -> Vec<Vec<Pitch>> {
        let mut hands = self.struck();
        self.held(&mut hands);
        let mut played: Vec<Vec<Pitch>> = Vec::with_capacity(hands.len());
        for at in 0..hands.len() {
            let sounding = played.last().cloned().unwrap_or_default();
            let keys = self.ahead(&mut hands, &sounding, at);
            let keys = keys.or_else(|| self.late(hands.get_mut(at)?, at));
            let own = hands.get(at).map(|hand| hand.keys.clone());
            played.push(keys.or(own).unwrap_or_default());
        }
        for (at, (hand, keys)) in hands.iter().zip(&played).enumerate() {
            self.tell_later(hand, keys, at);
        }
        played
    }

    fn tell(&mut self, loss: &'static Loss, at: usize) {
        let place = self.slots.get(at).map(|slot| self.place(slot));
        self.report.add(loss, &place.unwrap_or_default());
    }

    /// The place of a slot on the page.
    fn place(&self, slot: &Slot) -> String {
        let visit = slot
            .bar
            .checked_sub(1)
            .and_then(|bar| self.order.visits().get(bar));
        let (bar, pass) = visit.map_or((slot.bar, 1), |visit| (visit.bar + 1, visit.pass));
        let again = if pass > 1 {
            format!(", time {pass}")
        } else {
            String::new()
        };
        format!("bar {bar}, beat {}{again}", slot.beat)
    }

    /// Gives every note to the slot it is struck in, at its place or later.
    fn struck(&mut self) -> Vec<SlotKeys> {
        let mut hands = vec![SlotKeys::default(); self.times.len()];
        let end = self.times.last().map_or(Quarters::ZERO, |time| time.end);
        let mut behind = 0;
        for note in &self.notes {
            let after = self.times.partition_point(|time| time.start <= note.start);
            if let Some(hand) = self.nearest(note, after).and_then(|at| hands.get_mut(at)) {
                hand.keys.push(note.key);
            } else if note.start >= end {
                behind += 1;
            } else if let Some(hand) = after.checked_sub(1).and_then(|at| hands.get_mut(at)) {
                add(&mut hand.later, note);
            }
        }
        self.report.add_many(BEHIND_END, behind, "");
        hands.iter_mut().for_each(|hand| rising(&mut hand.keys));
        hands
    }

    /// The slot in whose place a note is struck; `after` is the first that starts after it.
    fn nearest(&self, note: &TimedKey, after: usize) -> Option<usize> {
        let off = |at: usize| {
            let slot = self.times.get(at)?;
            let early = slot.start.max(note.start) - slot.start.min(note.start);
            (early <= near(slot)).then_some((early, at))
        };
        let beside = [after.checked_sub(1), Some(after)].into_iter().flatten();
        beside.filter_map(off).min().map(|(_, at)| at)
    }

    /// Adds to every slot what was struck before it and sounds on through half of it.
    fn held(&self, hands: &mut [SlotKeys]) {
        for note in &self.notes {
            let first = self.times.partition_point(|time| time.start <= note.start);
            let later = self.times.iter().zip(hands.iter_mut()).skip(first);
            for (time, hand) in later.take_while(|(time, _)| time.start < note.end) {
                let half = time.start + (time.end - time.start) * Ratio::new(1, 2);
                let struck_here = time.start - note.start <= near(time);
                if note.end >= half && !struck_here {
                    hand.keys.push(note.key);
                    rising(&mut hand.keys);
                }
            }
        }
    }

    /// What is struck for a slot up to half a beat ahead: something else than what is sounding until
    /// then, and alone or held into the slot.
    fn ahead(
        &mut self,
        hands: &mut [SlotKeys],
        sounding: &[Pitch],
        at: usize,
    ) -> Option<Vec<Pitch>> {
        let own = hands.get(at)?.keys.clone();
        let time = self.times.get(at)?;
        let from = time.start - time.beat * Ratio::new(1, 2);
        let before = hands.get_mut(at.checked_sub(1)?)?;
        let (_, keys) = before.later.pop_if(|(start, keys)| {
            let new = keys.as_slice() != sounding;
            new && *start >= from && (own.is_empty() || own == *keys)
        })?;
        self.tell(STRUCK_AHEAD, at);
        Some(keys)
    }

    /// What is struck while a slot lasts, where nothing is in its place.
    fn late(&mut self, hand: &mut SlotKeys, at: usize) -> Option<Vec<Pitch>> {
        let has_chord = self.slots.get(at)?.symbol.chord().is_some();
        if !has_chord || !hand.keys.is_empty() || hand.later.is_empty() {
            return None;
        }
        self.tell(STRUCK_LATE, at);
        Some(hand.later.remove(0).1)
    }

    /// Tells what was struck in a slot beside what it is played with.
    fn tell_later(&mut self, hand: &SlotKeys, keys: &[Pitch], at: usize) {
        let has_chord = self
            .slots
            .get(at)
            .is_some_and(|slot| slot.symbol.chord().is_some());
        for (_, later) in &hand.later {
            let same = later.iter().all(|key| keys.contains(key));
            match (has_chord, same) {
                (false, _) => self.tell(NO_CHORD_NOTES, at),
                (true, true) => self.tell(STRUCK_AGAIN, at),
                (true, false) => self.tell(HAND_MOVES, at),
            }
        }
    }

    /// What a slot is to be played with, as a chart has it.
    fn wish(&mut self, slot: &Slot, mut keys: Vec<Pitch>, chart: &Chart) -> Wish {
        let place = self.place(slot);
        if slot.symbol.chord().is_none() {
            self.report.add_many(NO_CHORD_NOTES, keys.len(), &place);
            return Wish::Silent;
        }
        if keys.is_empty() {
            self.report.add(NOT_PLAYED, &place);
            return Wish::Silent;
        }
        let beyond = keys.len().saturating_sub(MOST_NOTES_OF_A_HAND);
        self.report.add_many(HAND_NOTES, beyond, &place);
        keys.truncate(MOST_NOTES_OF_A_HAND);
        let note = |key: &Pitch| {
            slot.spelled(*key)
                .or_else(|| spelled(*key, slot.symbol.chord(), chart.key()))
        };
        Wish::Given(keys.iter().filter_map(note).collect())
    }
}

/// How far from a slot's place a note is struck there: a quarter of a beat.
fn near(slot: &SlotTime) -> Quarters {
    slot.beat * Ratio::new(1, 4)
}

/// Puts a note to the stroke it belongs to: what is struck within a sixteenth note is one.
fn add(strokes: &mut Vec<StruckKeys>, note: &TimedKey) {
    match strokes.last_mut() {
        Some((start, keys)) if note.start - *start <= Quarters::new(1, 4) => {
            keys.push(note.key);
            rising(keys);
        }
        _ => strokes.push((note.start, vec![note.key])),
    }
}

/// From the lowest up, each key once.
fn rising(keys: &mut Vec<Pitch>) {
    keys.sort_unstable();
    keys.dedup();
}
