//! The chords of a page in the order they are played, and what they say of each other.

use crate::chart::{Chart, Performance, Slot};
use crate::chord::Chord;
use crate::harmony::{
    KeysFound, LineTone, SymbolRuns, home, lines_of_runs, plain_triads, regions, resolved_sevenths,
};
use crate::pitch::Key;

/// What a chord takes from those beside it, and not from itself, its key and the next one alone.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Beside {
    /// The tones of a triad that takes no colour.
    pub plain: Option<LineTone>,
    /// Whether it resolves the suspended seventh chord on its own root.
    pub after_suspension: bool,
}

/// A page as it is played.
pub(super) struct PlayedChords<'a> {
    slots: &'a [Slot],
    performance: &'a Performance,
    /// The chord of every visit.
    chords: Vec<Option<&'a Chord>>,
    runs: SymbolRuns<'a>,
    /// For each slot the run that it is in the first time it is played.
    first: Vec<Option<usize>>,
}

impl<'a> PlayedChords<'a> {
    /// The slots of a page in the order they are played.
    pub fn of(slots: &'a [Slot], performance: &'a Performance) -> Self {
        let chords = chords_as_played(slots, performance);
        let runs = SymbolRuns::of(&chords);
        let first = performance.at_first(runs.of_slots.iter().copied());
        Self {
            first: first.into_iter().map(Option::flatten).collect(),
            slots,
            performance,
            chords,
            runs,
        }
    }

    /// For each slot the line on one root that its chord is part of, the first time it is played.
    pub fn lines(&self) -> Vec<Option<LineTone>> {
        let lines = lines_of_runs(&self.runs.chords);
        let line = |run: &Option<usize>| lines.get((*run)?).copied().flatten();
        self.first.iter().map(line).collect()
    }

    /// What the chords beside it say of each slot's chord, the first time it is played.
    pub fn beside(&self) -> Vec<Beside> {
        let plain = plain_triads(&self.runs.chords).into_iter();
        let each = plain.zip(resolved_sevenths(&self.runs.chords));
        let each = each.map(|(plain, after_suspension)| Beside {
            plain,
            after_suspension,
        });
        let each: Vec<Beside> = each.collect();
        let beside = |run: &Option<usize>| each.get((*run)?).copied();
        let first = self.first.iter();
        first.map(|run| beside(run).unwrap_or_default()).collect()
    }

    /// The home key, and the key of each slot the first time it is played.
    pub fn keys(&self, chart: &Chart) -> (Option<Key>, Vec<Option<Key>>) {
        let KeysFound { home, regions } = self.keys_found(chart);
        let found = self.performance.at_first(regions).into_iter();
        (home, found.map(Option::flatten).collect())
    }

    /// The home key, and the key of each visit. Where the page says another key the tune begins anew, so that a
    /// drill is read in each of its keys as it would be in that key alone.
    fn keys_found(&self, chart: &Chart) -> KeysFound {
        let held = chart.held();
        let said = |slot: &Slot| slot.bar.checked_sub(1).and_then(|at| held.get(at)?.key);
        let key = |&at: &usize| self.slots.get(at).and_then(said);
        let keys: Vec<Option<Key>> = self.performance.visits().iter().map(key).collect();
        let looped = self.performance.is_looped();
        if keys.iter().all(|key| Some(key) == keys.first()) {
            let key = keys.first().copied().flatten();
            let found = KeysFound::of_runs(&self.runs, key, looped);
            // A key that only the page says, behind the header, is no home of the chart.
            let home = match key == chart.key() {
                true => found.home,
                false => home(&self.chords, chart.key(), looped),
            };
            return KeysFound { home, ..found };
        }
        let mut rest = self.chords.as_slice();
        let mut found = Vec::with_capacity(rest.len());
        for run in keys.chunk_by(|one, other| one == other) {
            let (here, after) = rest.split_at(run.len());
            found.extend(regions(here, run.first().copied().flatten(), false));
            rest = after;
        }
        KeysFound {
            home: home(&self.chords, chart.key(), looped),
            regions: found,
        }
    }
}

/// The chords of the slots in the order they are played.
pub(super) fn chords_as_played<'a>(
    slots: &'a [Slot],
    performance: &Performance,
) -> Vec<Option<&'a Chord>> {
    let chord = |&at: &usize| slots.get(at).and_then(|slot| slot.symbol.chord());
    performance.visits().iter().map(chord).collect()
}
