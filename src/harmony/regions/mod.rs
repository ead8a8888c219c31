//! Key regions: the key each chord of a tune stands in.
//!
//! The regions are the row of keys with the least total cost, found exactly by dynamic programming over
//! the 24 keys ([`solve`]). A chord costs what its reading in the key costs ([`super::role`]),
//! leaving a key costs something, and cadences in a key are worth something ([`weights`]). The tune has
//! one home: the key at the head of the chart or, without one, the key that as a home makes the
//! tune cost least. It is left for good reasons only, since relative keys share their chords: one
//! ii-V-I into another degree of the key, which costs one or two, never pays for going there and back, and a
//! bridge with two of its own does.
//!
//! Equal costs: the region that began earlier goes on as long as it can; of two keys for a whole tune
//! the home is taken, else the first one counted upwards from the home's tonic, major before
//! minor. So a tune reads the same in every key.

mod names;
mod row;
mod solve;
mod weights;

use crate::chord::Chord;
use crate::pitch::Key;

use super::local_key::LocalKey;
use row::ChordRow;

/// The key of the region each slot stands in; a slot without a chord belongs to the region before it.
///
/// `chords` are in played order. With `looped`, the last chord goes on to the first, so that a
/// turnaround leads home. Without a key of the chart, a row with fewer than two different chords
/// has no region.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::regions;
///
/// let chords: Vec<Chord> = "Cmaj7 Am7 Dm7 G7 Cmaj7 Fm7 Bb7 Ebmaj7 Cm7 Fm7 Bb7 Ebmaj7"
///     .split(' ')
///     .map(|text| Chord::read(text).unwrap())
///     .collect();
/// let row: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
/// let found = regions(&row, "C".parse().ok(), false);
/// let names: Vec<String> = found.iter().flatten().map(ToString::to_string).collect();
/// assert_eq!(names[4], "C");
/// assert_eq!(names[5], "Eb");
/// ```
pub fn regions(chords: &[Option<&Chord>], key: Option<Key>, looped: bool) -> Vec<Option<Key>> {
    let row = ChordRow::of(chords, looped);
    if row.events.is_empty() || key.is_none() && row.events.len() < 2 {
        return vec![key; chords.len()];
    }
    let found = solve::best(&row, key.map(LocalKey::of));
    let keys = names::spelled(&found.keys, &row, key);
    let first = keys.first().copied();
    row.slots
        .iter()
        .map(|event| event.map_or(first, |at| keys.get(at).copied()).flatten())
        .collect()
}

/// The key that is home for the whole row: the one given or, without one, the one found. `None` where
/// there is neither a key nor a chord.
///
/// A lone chord is at home on its own root.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::home;
///
/// let chords: Vec<Chord> = ["Gm7", "C7", "Fmaj7"].map(|text| Chord::read(text).unwrap()).into();
/// let row: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
/// assert_eq!(home(&row, None, false).unwrap().to_string(), "F");
/// ```
pub fn home(chords: &[Option<&Chord>], key: Option<Key>, looped: bool) -> Option<Key> {
    let row = ChordRow::of(chords, looped);
    if key.is_some() || row.events.is_empty() {
        return key;
    }
    names::of_home(solve::best(&row, None).home, &row)
}
