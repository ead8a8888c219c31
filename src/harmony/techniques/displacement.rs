//! A V7 that arrives late.

use super::idea::{Idea, same, shared};
use super::{Example, Technique};
use crate::harmony::passage::{Passage, is_dominant, is_tonic, up};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "displacement",
    rule: "The V7 is held on into the first half of its I.",
    taught: "Felts, Reharmonization Techniques, chapter on harmonic displacement (contents read); this case from memory",
    melody: "the sounds of the V7 in the first half of the I",
    example: Example {
        key: "C",
        before: "| Dm7 | G7 | Cmaj7 |",
        after: "| Dm7 | G7 | G7 Cmaj7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    idea(passage, at).into_iter().collect()
}

fn idea(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage.spot(at)?;
    let key = spot.key.filter(|key| is_tonic(*key, spot.chord))?;
    let before = passage.before(at)?;
    if !is_dominant(before.chord) || up(before.chord, spot.chord) != 5 {
        return None;
    }
    let late = same(before.chord, spot.beats);
    let idea = shared(passage, at..at + 1, late, same(spot.chord, spot.beats))?;
    Some(idea.because(format!("{} holds the I of {key} back", before.chord)))
}
