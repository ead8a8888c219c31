//! What a region's key is called.

use crate::harmony::local_key::LocalKey;
use crate::pitch::{Interval, Key, PitchClass, Semitones};

use super::row::{ChordEvent, ChordRow};

/// The keys with names: the chart's own where it is the chart's key, else as the chords of the region
/// write its tonic, else the usual name.
pub(super) fn spelled(
    homes: &[LocalKey],
    row: &ChordRow<'_>,
    key: Option<Key>,
) -> Vec<Option<Key>> {
    let mut keys = Vec::with_capacity(homes.len());
    let mut start = 0;
    for run in homes.chunk_by(PartialEq::eq) {
        let events = row.events.get(start..start + run.len()).unwrap_or_default();
        start += run.len();
        if let Some(home) = run.first() {
            let own = key.filter(|key| LocalKey::of(*key) == *home);
            let name = own.or_else(|| named(*home, events));
            keys.extend(run.iter().map(|_| name));
        }
    }
    keys
}

/// The name of the home: as the chords of the row write its tonic, else the usual one.
pub(super) fn of_home(home: LocalKey, row: &ChordRow<'_>) -> Option<Key> {
    named(home, &row.events)
}

fn named(home: LocalKey, events: &[ChordEvent<'_>]) -> Option<Key> {
    let fourth = Interval::new(3, Semitones(5));
    let on_tonic = events
        .iter()
        .filter(|event| event.written.root == home.tonic)
        .map(|event| event.chord.root());
    let under_fifth = events
        .iter()
        .filter(|event| home.degree(event.written) == 7)
        .filter_map(|event| event.chord.root().plus(fourth));
    let mut written = on_tonic.chain(under_fifth);
    written
        .find_map(|tonic| Key::new(tonic, home.mode()))
        .or_else(|| Key::usual(PitchClass::of(home.tonic.into()), home.mode()))
}
