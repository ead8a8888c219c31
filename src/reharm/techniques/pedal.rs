//! One bass note under a passage.
//!
//! An improvisation primer's chapter on pedal point (read) has the fifth of the key in the bass under the
//! ii and the V of a ii-V-I, where the ii becomes a suspended V that the V resolves, and a tutorial (read)
//! I, IV and V over I. The other chords that may stand over the bass are from memory.

use super::idea::{Idea, Wanted, ending, over, same};
use super::{Example, Technique};
use crate::harmony::chord_kind::RootAndKind;
use crate::harmony::passage::{Passage, Spot, above_tonic, is_dominant, is_tonic};
use crate::pitch::{Key, Name};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "pedal",
    rule: "The fifth of the key stays in the bass under the chords that lead to a V and its tonic; or the tonic stays in the bass under two to four chords from one I to the next.",
    taught: "an improvisation primer's chapter on pedal point and a tutorial on it (both read); the chords beside ii, IV and V from memory",
    melody: "not a half step above the bass",
    example: Example {
        key: "C",
        before: "| Am7 | Dm7 | G7 | Cmaj7 |",
        after: "| Am7/G | Dm7/G | G7 | Cmaj7 |",
    },
    find,
};

/// The degrees, in half steps above the tonic, whose chords may stand over the fifth of the key.
const OVER_FIVE: [i32; 3] = [2, 5, 9];

/// Those whose chords may stand over the tonic.
const OVER_ONE: [i32; 6] = [2, 5, 7, 8, 9, 10];

/// No more chords than these: the tension is released within a phrase.
const LONGEST: usize = 4;

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    [of_dominant(passage, at), of_tonic(passage, at)]
        .into_iter()
        .flatten()
        .collect()
}

/// The chords from here to a V that resolves, all over its root: as many as can, or the last one.
fn of_dominant(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let key = passage.spot(at)?.key?;
    let ends = |place: &usize| {
        let spot = passage.spot(*place);
        let target = passage.after(*place);
        let five = |spot: &Spot<'_>| is_dominant(spot.chord) && above_tonic(key, spot.chord) == 7;
        spot.is_some_and(five) && target.is_some_and(|target| is_tonic(key, target))
    };
    let five = (at + 1..=at + LONGEST).find(ends)?;
    let bass = passage.spot(five)?.chord.root();
    let could = |place: usize| held(passage, key, place..five, bass, &OVER_FIVE);
    let longer = at.checked_sub(1).filter(|_| five - at < LONGEST);
    let idea = could(at).filter(|_| five == at + 1 || longer.and_then(could).is_none())?;
    if passage.spot(at)?.chord.root().class() == bass.class() {
        return None;
    }
    Some(idea.because(format!(
        "{bass} stays in the bass until the dominant on it resolves"
    )))
}

/// The chords between two tonics, over the tonic.
fn of_tonic(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let before = passage.before(at)?;
    let key = before.key.filter(|key| is_tonic(*key, before.chord))?;
    let home = |place: &usize| {
        let target = passage.after(*place);
        target.is_some_and(|target| is_tonic(key, target) && target.bass().is_none())
    };
    let last = (at..at + LONGEST).find(home)?;
    let bass = before.chord.root();
    let passes = before.chord.bass().is_none() && last > at;
    let idea = held(passage, key, at..last + 1, bass, &OVER_ONE).filter(|_| passes)?;
    Some(idea.because(format!(
        "{bass} stays in the bass from one tonic to the next"
    )))
}

/// Some chords of one key, all over one bass.
fn held(
    passage: &Passage<'_>,
    key: Key,
    spots: std::ops::Range<usize>,
    bass: Name,
    degrees: &[i32],
) -> Option<Idea> {
    let one_key = passage.one_key(spots.clone()) == Some(key);
    let here = passage.spots.get(spots.clone()).filter(|_| one_key)?;
    let chords = here.iter().map(|spot| lowered(spot, key, bass, degrees));
    Some(Idea {
        chords: chords.collect::<Option<_>>()?,
        spots,
        reason: String::new(),
    })
}

/// A chord of the key over the bass; itself where that is its root.
fn lowered(spot: &Spot<'_>, key: Key, bass: Name, degrees: &[i32]) -> Option<Wanted> {
    let chord = spot.chord;
    if chord.root().class() == bass.class() {
        return Some(same(chord, spot.beats));
    }
    let fits = degrees.contains(&above_tonic(key, chord)) && chord.bass().is_none();
    let ending = fits.then(|| ending(chord)).flatten()?;
    let leads_away = RootAndKind::of(chord).is_dominant() && above_tonic(key, chord) != 7;
    let slash = over(chord.root(), ending, bass, Some(key), spot.beats)?;
    (!leads_away).then_some(slash)
}
