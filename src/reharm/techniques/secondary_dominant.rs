//! The V of a degree that is not the tonic.
//!
//! Which tensions each of them takes is printed in the Berklee HARM 121 sheet (2008): V7/IV and V7/V
//! take 9 and 13; V7/ii takes 9 and b13, and many players treat it like V7/iii and V7/vi, which take b9,
//! #9 and b13. Over them the melody may have these and the chord tones. In a minor key the target's
//! third decides (from memory).

use super::idea::{Idea, Wanted, WantedKind, higher, led_on, on, whole};
use super::{Example, Technique};
use crate::chord::{Chord, Family};
use crate::harmony::chord_kind::RootAndKind;
use crate::harmony::passage::{Passage, Spot, above_tonic, is_dominant, is_minor, is_tonic, up};
use crate::pitch::{Key, Mode};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "secondary-dominant",
    rule: "Before ii, iii, IV, V or vi comes its own dominant seventh, in half of the time of the chord before, or in all of it where that chord already falls a fifth; a tonic sounds as one first.",
    taught: "Berklee HARM 121 sheet, 2008; the five targets in any harmony text",
    melody: "chord tones and the tensions printed for its target: 9 13 before IV and V, b9 #9 b13 before iii and vi, those and 9 before ii",
    example: Example {
        key: "C",
        before: "| Cmaj7 | Dm7 | G7 |",
        after: "| Cmaj7 A7 | Dm7 | G7 |",
    },
    find,
};

const INTO_MAJOR: &[u8] = &[0, 2, 4, 7, 9, 10];
const INTO_MINOR: &[u8] = &[0, 1, 3, 4, 7, 8, 10];
const INTO_II: &[u8] = &[0, 1, 2, 3, 4, 7, 8, 10];

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let spot = passage.spot(at)?;
    let (key, target) = spot.key.zip(passage.after(at))?;
    let degree = target_degree(key, target)?;
    let falls = up(spot.chord, target) == 5;
    let suspended = up(spot.chord, target) == 0 && RootAndKind::of(spot.chord).is_dominant();
    if falls && is_dominant(spot.chord) || suspended {
        return None;
    }
    let dominant = wanted(spot, key, target);
    let reason = format!("a dominant of its own leads into {target}, the {degree} of {key}");
    // II7 comes before the ii rather than after it (arrangers' marks).
    let backwards = is_minor(spot.chord) && falls && above_tonic(key, target) == 7;
    let keeps = leads_already(spot.chord, target) || backwards;
    let led = led_on(at, spot, dominant.clone()).filter(|_| !keeps);
    // The tonic is heard at home before it turns into a dominant (common practice, no source).
    let comes_home = is_tonic(key, spot.chord) && passage.begins(at);
    let all = (falls && !comes_home).then(|| whole(passage, at..at + 1, dominant));
    let both = led.into_iter().chain(all);
    Some(both.map(|idea| idea.because(reason.clone())).collect())
}

/// Whether a chord has the tritone of the target's dominant: a diminished seventh a half step below the target, which
/// is that dominant without its root, or the dominant a half step above, which stands for it (any harmony text).
fn leads_already(chord: &Chord, target: &Chord) -> bool {
    let diminished = chord.family() == Family::Diminished && up(chord, target).rem_euclid(3) == 1;
    diminished || is_dominant(chord) && up(chord, target) == 11
}

fn wanted(spot: &Spot<'_>, key: Key, target: &Chord) -> Wanted {
    let root = higher(target.root(), 4, 7);
    let second = key.mode() == Mode::Major && above_tonic(key, target) == 2;
    let only = match is_minor(target) {
        true if second => INTO_II,
        true => INTO_MINOR,
        false => INTO_MAJOR,
    };
    on(root, WantedKind::Dominant, spot.key, spot.beats).only(only)
}

/// The degree of the key the target is, where it is one that can have a dominant.
fn target_degree(key: Key, target: &Chord) -> Option<&'static str> {
    use Family::{Dominant, Major, Minor, Suspended};
    let above = above_tonic(key, target);
    let degree = match (key.mode(), above, target.family()) {
        (Mode::Major, 2, Minor) => "ii",
        (Mode::Major, 4, Minor) => "iii",
        (Mode::Major, 5, Major) => "IV",
        (_, 7, Major | Dominant | Suspended) => "V",
        (Mode::Major, 9, Minor) => "vi",
        (Mode::Minor, 3, Major) => "bIII",
        (Mode::Minor, 5, Minor) => "iv",
        (Mode::Minor, 8, Major) => "bVI",
        (Mode::Minor, 10, Major | Dominant) => "bVII",
        _ => return None,
    };
    Some(degree)
}
