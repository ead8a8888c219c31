//! The four bars of a ii-V-I taken through three keys a major third apart.
//!
//! Read in an encyclopedia's article on the substitution, which prints Dm7 Eb7 / Abmaj7 B7 / Emaj7 G7 /
//! Cmaj7; usually it bears the name of the player who made it known. The roots move m2 P4 m3 P4 m3 P4.
//!
//! The texts print it on the way to a major I. A chapter on reharmonising (one page read) says that it
//! may be applied to minor keys as well; that its ii and i are then those of the minor key, and the keys
//! it passes through major ones all the same, is from memory.

use super::idea::{Idea, Wanted, WantedKind, exactly, halves, higher, same};
use super::{Example, Technique};
use crate::chart::Beats;
use crate::harmony::passage::{Passage, Spot, above_tonic, is_dominant, is_minor, is_tonic};
use crate::pitch::{Key, Mode, Name, Semitones};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "thirds-cycle",
    rule: "Over a ii-V-I of four bars, in major or minor, the major keys of bVI and III pass by, each after its own V7: ii V7/bVI, bVI V7/III, III V7, I.",
    taught: "encyclopedia articles on the substitution and its changes, where the progression is printed; a chapter on reharmonising (one page read) for minor keys",
    melody: "every chord is tested for its half bar",
    example: Example {
        key: "C",
        before: "| Dm7 | G7 | Cmaj7 | Cmaj7 |",
        after: "| Dm7 Eb7 | Abmaj7 B7 | Emaj7 G7 | Cmaj7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    idea(passage, at).into_iter().collect()
}

fn idea(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spots = passage.spots.get(at..at + 4)?;
    let [ii, v, one, last] = spots else {
        return None;
    };
    let key = passage.one_key(at..at + 4)?;
    if !is_two_five_one(spots, key) {
        return None;
    }
    let (long, short) = halves(ii.beats)?;
    let flat_six = local_tonic(key, 8)?;
    let three = local_tonic(key, 4)?;
    Some(Idea {
        spots: at..at + 4,
        chords: vec![
            same(ii.chord, long),
            five_of(flat_six, short),
            exactly(flat_six, WantedKind::Major, long),
            five_of(three, short),
            exactly(three, WantedKind::Major, long),
            same(v.chord, short),
            same(one.chord, last.beats),
        ],
        reason: format!(
            "the keys of {flat_six} and {three} lie a major third apart on the way to {key}"
        ),
    })
}

/// ii and V for a bar each and I for two, in one key.
fn is_two_five_one(spots: &[Spot<'_>], key: Key) -> bool {
    let [ii, v, one, last] = spots else {
        return false;
    };
    let bars = spots
        .iter()
        .all(|spot| spot.is_whole_bar() && spot.beats == ii.beats);
    let two = above_tonic(key, ii.chord) == 2 && is_minor(ii.chord);
    let five = above_tonic(key, v.chord) == 7 && is_dominant(v.chord);
    bars && two && five && is_tonic(key, one.chord) && is_tonic(key, last.chord)
}

/// The tonic of a passing key, as its signature is usually called.
fn local_tonic(key: Key, above: i32) -> Option<Name> {
    let class = key.tonic().class().plus(Semitones(above));
    Key::usual(class, Mode::Major).map(Key::tonic)
}

fn five_of(tonic: Name, beats: Beats) -> Wanted {
    exactly(higher(tonic, 4, 7), WantedKind::Dominant, beats)
}
