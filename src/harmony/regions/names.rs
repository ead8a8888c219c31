//! What a region's key is called.

use crate::harmony::local_key::LocalKey;
use crate::pitch::{Interval, Key, PitchClass, Semitones};

use super::row::{ChordEvent, ChordRow};

/// The keys with names: the chart's own where it is the chart's key, else as the chords of the region
/// write its tonic, else the usual name.
pub(super) fn spelled(
    found: &[LocalKey],
    row: &ChordRow<'_>,
    key: Option<Key>,
) -> Vec<Option<Key>> {
    let mut keys = Vec::with_capacity(found.len());
    let mut start = 0;
    for run in found.chunk_by(PartialEq::eq) {
        let events = row.events.get(start..start + run.len()).unwrap_or_default();
        start += run.len();
        if let Some(local_key) = run.first() {
            let own = key.filter(|key| LocalKey::of(*key) == *local_key);
            let name = own.or_else(|| named(*local_key, events));
            keys.extend(run.iter().map(|_| name));
        }
    }
    keys
}

/// The name of the home: as the chords of the row write its tonic, else the usual one.
pub(super) fn of_home(home: LocalKey, row: &ChordRow<'_>) -> Option<Key> {
    named(home, &row.events)
}

fn named(local_key: LocalKey, events: &[ChordEvent<'_>]) -> Option<Key> {
    let fourth = Interval::new(3, Semitones(5));
    let on_tonic = events
        .iter()
        .filter(|event| event.written.root == local_key.tonic)
        .map(|event| event.chord.root());
    let under_fifth = events
        .iter()
        .filter(|event| local_key.degree(event.written) == 7)
        .filter_map(|event| event.chord.root().plus(fourth));
    let mut written = on_tonic.chain(under_fifth);
    written
        .find_map(|tonic| Key::new(tonic, local_key.mode()))
        .or_else(|| Key::usual(PitchClass::of(local_key.tonic.into()), local_key.mode()))
}
