//! A diminished seventh on the root of the chord it holds back.

use super::idea::{Idea, WantedKind, on, same, shared, whole};
use super::{Example, Technique};
use crate::chord::Family;
use crate::harmony::passage::{Passage, above_tonic};
use crate::pitch::{Degree, Mode};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "auxiliary-diminished",
    rule: "A major I, a minor one with its major seventh, or V is held back by the diminished seventh on its own root, in the first half of its time or in its first bar.",
    taught: "A. French, lesson on diminished chords",
    melody: "a chord tone, or a whole step above one",
    example: Example {
        key: "C",
        before: "| G7 | Cmaj7 |",
        after: "| G7 | Cdim7 Cmaj7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    idea(passage, at).into_iter().collect()
}

fn idea(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage.spot(at).filter(|_| passage.begins(at))?;
    let key = spot.key?;
    let degree = match above_tonic(key, spot.chord) {
        0 => "I",
        7 => "V",
        _ => return None,
    };
    let family = spot.chord.family();
    // A I7 in a minor key is no tonic but the V7 of iv, and a minor chord on the 5 is no V. A minor tonic has the third
    // of the diminished chord, so that little is held back, unless its 7 is there (arrangers' marks).
    let firm = match family {
        Family::Major => true,
        Family::Minor => degree == "I" && spot.chord.seventh() == Some(Degree::SEVENTH),
        Family::Dominant => degree == "V" || key.mode() == Mode::Major,
        _ => false,
    };
    if !firm || spot.chord.bass().is_some() {
        return None;
    }
    let chord = on(
        spot.chord.root(),
        WantedKind::Diminished,
        spot.key,
        spot.beats,
    );
    let idea = match passage.run(at).len() {
        1 => shared(passage, at..at + 1, chord, same(spot.chord, spot.beats))?,
        _ => whole(passage, at..at + 1, chord),
    };
    Some(idea.because(format!(
        "over the same root it holds the {degree} of {key} back and leads into it by half steps"
    )))
}
