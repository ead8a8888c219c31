//! The ii that belongs to a V, or to the dominant that stands for a V.

use super::idea::{Idea, WantedKind, higher, same, shared};
use super::two_five::second;
use super::{Example, Technique};
use crate::harmony::passage::{Passage, is_dominant, is_minor, up};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "related-ii",
    rule: "Before a dominant that resolves comes the minor seventh a fifth above it, in half of its time, before one that slides only where that lasts a bar; half-diminished if the target is minor.",
    taught: "common reharmonising handouts, also for substitute dominants (Abm7 Db7 for Db7); the half-diminished from memory",
    melody: "not the b9 of the ii, nor over a minor seventh its 13, which is the third of the dominant",
    example: Example {
        key: "C",
        before: "| G7 | Cmaj7 |",
        after: "| Dm7 G7 | Cmaj7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    idea(passage, at).into_iter().collect()
}

fn idea(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage.spot(at).filter(|spot| is_dominant(spot.chord))?;
    let spots = Some(passage.run(at)).filter(|_| passage.begins(at))?;
    let target = passage.after(spots.end - 1)?;
    let falls = up(spot.chord, target);
    let root = higher(spot.chord.root(), 4, 7);
    // It has one already, or is itself the end of a suspension that a ii would cut through.
    let has_one = passage.before(at).is_some_and(|before| {
        let ii = is_minor(before.chord) && before.chord.root().class() == root.class();
        ii || up(before.chord, spot.chord) == 0
    });
    // A substitute and its ii, a beat each, are far away and gone at once (a pianist's marks).
    let far = falls == 11 && passage.beats(spots.clone()) < spot.bar_beats;
    if has_one || far || !matches!(falls, 5 | 11) {
        return None;
    }
    let kind = match falls == 5 && is_minor(target) {
        true => WantedKind::HalfDiminished,
        false => WantedKind::Minor,
    };
    let ii = second(root, kind, spot.key, spot.beats);
    let idea = shared(passage, spots, ii, same(spot.chord, spot.beats))?;
    Some(idea.because(format!(
        "the new chord is the ii of {}, so the way to {target} is prepared by a ii-V",
        spot.chord
    )))
}
