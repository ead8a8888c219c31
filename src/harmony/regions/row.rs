//! The chords of a tune as the search for its keys sees them.

use crate::chord::Chord;
use crate::harmony::chord_kind::RootAndKind;
use crate::harmony::neighbours::nexts;

/// A chord that differs from the one before it.
pub(super) struct ChordEvent<'a> {
    pub chord: &'a Chord,
    pub written: RootAndKind,
    /// The same as a cadence hears it, its bass included.
    pub heard: RootAndKind,
    /// The next different chord.
    pub next: Option<RootAndKind>,
    /// How many slots it lasts.
    pub slots: u32,
}

/// The chords, repeats left out.
pub(super) struct ChordRow<'a> {
    pub events: Vec<ChordEvent<'a>>,
    /// For each slot the event that sounds, or sounded last.
    pub slots: Vec<Option<usize>>,
    /// Whether the last goes on to the first.
    pub looped: bool,
}

impl<'a> ChordRow<'a> {
    pub fn of(chords: &[Option<&'a Chord>], looped: bool) -> Self {
        let mut events: Vec<ChordEvent<'a>> = Vec::new();
        let mut slots = Vec::with_capacity(chords.len());
        for (slot, next) in chords.iter().zip(nexts(chords, looped)) {
            if let Some(chord) = *slot {
                match events.last_mut() {
                    Some(last) if last.chord.symbol() == chord.symbol() => last.slots += 1,
                    _ => events.push(ChordEvent::of(chord, next)),
                }
            }
            slots.push(events.len().checked_sub(1));
        }
        Self {
            looped: looped && events.len() > 1,
            events,
            slots,
        }
    }

    /// The event before this one; in a loop the last comes before the first.
    pub fn before(&self, at: usize) -> Option<usize> {
        let round = self.looped.then(|| self.events.len() - 1);
        at.checked_sub(1).or(round)
    }
}

impl<'a> ChordEvent<'a> {
    fn of(chord: &'a Chord, next: Option<&Chord>) -> Self {
        let written = RootAndKind::of(chord);
        Self {
            chord,
            written,
            heard: written.over_bass(chord),
            next: next.map(RootAndKind::of),
            slots: 1,
        }
    }
}
