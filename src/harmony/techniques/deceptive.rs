//! A V7 that arrives elsewhere.

use super::idea::{Idea, Kind, higher, on, whole};
use super::{Example, Technique};
use crate::harmony::passage::{Passage, is_dominant, is_tonic, up};
use crate::pitch::Mode;

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "deceptive",
    rule: "After V7 comes vi, iii, bVImaj7 or IV in place of I; in a minor key, bVImaj7.",
    taught: "common practice, from memory",
    melody: "the sounds of the new goal",
    example: Example {
        key: "C",
        before: "| Dm7 | G7 | Cmaj7 |",
        after: "| Dm7 | G7 | Am7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let spot = passage.spot(at).filter(|_| passage.begins(at))?;
    let key = spot.key.filter(|key| is_tonic(*key, spot.chord))?;
    let before = passage.before(at)?;
    if !is_dominant(before.chord) || up(before.chord, spot.chord) != 5 {
        return None;
    }
    let goals = [
        (5, 9, Kind::Minor, "vi"),
        (2, 4, Kind::Minor, "iii"),
        (5, 8, Kind::Major, "bVI"),
        (3, 5, Kind::Major, "IV"),
    ];
    let in_mode = |numeral: &str| key.mode() == Mode::Major || numeral == "bVI";
    let goals = goals.into_iter().filter(|goal| in_mode(goal.3));
    let ideas = goals.map(|(letters, semitones, kind, numeral)| {
        let root = higher(key.tonic(), letters, semitones);
        let chord = on(root, kind, spot.key, spot.beats);
        whole(passage, passage.run(at), chord).because(format!(
            "{} promises the I of {key} and arrives on {numeral}",
            before.chord
        ))
    });
    Some(ideas.collect())
}
