//! The chords of a tune as the search for its keys sees them.

use crate::chord::Chord;
use crate::harmony::chord_kind::RootAndKind;
use crate::harmony::neighbours::nexts;
use crate::harmony::symbol_runs::SymbolRuns;

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
    /// Whether the last goes on to the first.
    pub looped: bool,
}

impl<'a> ChordRow<'a> {
    pub fn of(runs: &SymbolRuns<'a>, looped: bool) -> Self {
        let chords: Vec<Option<&Chord>> = runs.chords.iter().copied().map(Some).collect();
        let placed = runs.chords.iter().zip(nexts(&chords, looped));
        let events = placed.map(|(chord, next)| ChordEvent::of(chord, next));
        let mut events: Vec<ChordEvent<'a>> = events.collect();
        for run in runs.of_slots.iter().flatten() {
            if let Some(event) = events.get_mut(*run) {
                event.slots += 1;
            }
        }
        Self {
            looped: looped && events.len() > 1,
            events,
        }
    }

    /// The event before this one; in a loop the last comes before the first.
    pub fn before(&self, at: usize) -> Option<usize> {
        let round = self.looped.then(|| self.events.len() - 1);
        at.checked_sub(1).or(round)
    }
}

impl<'a> ChordEvent<'a> {
    /// Without the slots it lasts.
    fn of(chord: &'a Chord, next: Option<&Chord>) -> Self {
        let written = RootAndKind::of(chord);
        Self {
            chord,
            written,
            heard: written.over_bass(chord),
            next: next.map(RootAndKind::of),
            slots: 0,
        }
    }
}
