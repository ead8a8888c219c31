//! A chord of a cadence that comes late, or early.
//!
//! Where a chord of a ii-V or a V-I is due, the one before it is held on (delayed), or it begins before
//! its time, in the second half of the one before (anticipated).

use super::idea::{Idea, led_on, same, shared};
use super::{Example, Technique};
use crate::harmony::passage::{Passage, is_minor, is_tonic};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "displacement",
    rule: "In ii-V-I, the ii is held on into the first half of its V, or the V7 into the first half of its I; or the V, or the I, comes early, in the second half of the chord before.",
    taught: "Felts, Reharmonization Techniques, chapter on harmonic displacement (contents read); these cases from memory",
    melody: "the sounds of the chord that is held on or comes early",
    example: Example {
        key: "C",
        before: "| Dm7 | G7 | Cmaj7 |",
        after: "| Dm7 | G7 | G7 Cmaj7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    let all = late(passage, at).into_iter();
    all.chain(early(passage, at)).collect()
}

/// The chord before is held on.
fn late(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage.spot(at)?;
    let before = passage.before(at).filter(|_| is_due(passage, at))?;
    let held = same(before.chord, spot.beats);
    let idea = shared(passage, at..at + 1, held, same(spot.chord, spot.beats))?;
    Some(idea.because(format!(
        "{} is held on, and {} comes late",
        before.chord, spot.chord
    )))
}

/// The chord after begins in this one's time.
fn early(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage.spot(at)?;
    let next = passage.spot(at + 1).filter(|_| is_due(passage, at + 1))?;
    let idea = led_on(at, spot, same(next.chord, spot.beats))?;
    Some(idea.because(format!("{} comes before its time", next.chord)))
}

/// Whether the chord of a spot is the I of the V before it, or the V of the ii before it.
fn is_due(passage: &Passage<'_>, at: usize) -> bool {
    let Some(spot) = passage.spot(at).filter(|_| passage.is_awaited(at)) else {
        return false;
    };
    let home = spot.key.is_some_and(|key| is_tonic(key, spot.chord));
    home || passage
        .before(at)
        .is_some_and(|before| is_minor(before.chord))
}
