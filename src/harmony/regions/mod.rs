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
#[cfg(test)]
mod weights_tests;

use crate::chord::Chord;
use crate::pitch::Key;

use super::local_key::LocalKey;
use super::symbol_runs::SymbolRuns;
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
    KeysFound::of(chords, key, looped).regions
}

/// The keys of a row of chords: what one search for them finds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeysFound {
    /// The key that is home for the whole, as [`home`] has it.
    pub home: Option<Key>,
    /// The key of each slot's region, as [`regions`] has it.
    pub regions: Vec<Option<Key>>,
}

impl KeysFound {
    /// Those of a row, with what [`regions`] and [`home`] ask for.
    ///
    /// ```
    /// use compline::chord::Chord;
    /// use compline::harmony::KeysFound;
    ///
    /// let chords: Vec<Chord> = ["Gm7", "C7", "Fmaj7"].map(|text| Chord::read(text).unwrap()).into();
    /// let row: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
    /// let found = KeysFound::of(&row, None, false);
    /// assert_eq!(found.home.unwrap().to_string(), "F");
    /// assert_eq!(found.regions, [found.home; 3]);
    /// ```
    pub fn of(chords: &[Option<&Chord>], key: Option<Key>, looped: bool) -> Self {
        Self::of_runs(&SymbolRuns::of(chords), key, looped)
    }

    /// The same of a row whose runs are known.
    pub(crate) fn of_runs(runs: &SymbolRuns<'_>, key: Option<Key>, looped: bool) -> Self {
        let row = ChordRow::of(runs, looped);
        let none = |home| Self {
            home,
            regions: vec![key; runs.of_slots.len()],
        };
        if row.events.is_empty() {
            return none(key);
        }
        let found = solve::best(&row, key.map(LocalKey::of));
        let home = key.or_else(|| names::of_home(found.home, &row));
        if key.is_none() && row.events.len() < 2 {
            return none(home);
        }
        let keys = names::spelled(&found.keys, &row, key);
        let mut here = keys.first().copied().flatten();
        let mut of_slot = |run: &Option<usize>| {
            if let Some(key) = run.and_then(|run| keys.get(run)) {
                here = *key;
            }
            here
        };
        Self {
            home,
            regions: runs.of_slots.iter().map(&mut of_slot).collect(),
        }
    }
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
    key.or_else(|| KeysFound::of(chords, None, looped).home)
}
