//! A dominant as a triad over a bass that is no part of it.

use super::idea::{Idea, higher, over, whole};
use super::{Example, Technique};
use crate::chord::Family;
use crate::harmony::passage::Passage;

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "hybrid",
    rule: "A dominant or suspended chord becomes the major triad on its b7 over its root: its 9, 11 and b7 without a third.",
    taught: "Felts, Reharmonization Techniques, chapter on hybrid voicings (contents read); this one from memory",
    melody: "not the third of the dominant, nor any alteration",
    example: Example {
        key: "C",
        before: "| Dm7 | G7 | Cmaj7 |",
        after: "| Dm7 | F/G | Cmaj7 |",
    },
    find,
};

/// The sounds of a suspended dominant, seen from the triad on its b7.
const SUSPENDED: &[u8] = &[0, 2, 4, 7, 9, 11];

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    idea(passage, at).into_iter().collect()
}

fn idea(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage
        .spot(at)
        .filter(|spot| spot.chord.bass().is_none())?;
    let flat_seventh = spot
        .chord
        .seventh()
        .is_some_and(|seventh| seventh.class() == 10);
    let family = spot.chord.family();
    let fits = flat_seventh && matches!(family, Family::Dominant | Family::Suspended);
    let spots = passage.moving(at).filter(|_| fits)?;
    let root = spot.chord.root();
    let triad = over(higher(root, 6, 10), "", root, spot.key, spot.beats)?;
    let idea = whole(passage, spots, triad.only(SUSPENDED));
    Some(idea.because(format!(
        "over the same bass it leaves the third of {} open",
        spot.chord
    )))
}
