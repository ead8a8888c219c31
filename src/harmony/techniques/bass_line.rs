//! A bass that walks by step into the next root.

use super::idea::{Idea, led_on, over};
use super::{Example, Technique};
use crate::chord::{Chord, Family};
use crate::harmony::passage::{Passage, up};
use crate::pitch::Degree;

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "bass-line",
    rule: "In the second half of a chord its bass goes to the third or the seventh that lies a step from the next root.",
    taught: "Felts, Reharmonization Techniques, chapter on bass-line reharmonization (contents read); these cases from memory",
    melody: "not a half step above the new bass",
    example: Example {
        key: "C",
        before: "| C | Am7 | Dm7 |",
        after: "| C C/B | Am7 | Dm7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    idea(passage, at).into_iter().collect()
}

fn idea(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage.spot(at)?;
    let target = passage.after(at).filter(|next| next.bass().is_none())?;
    let chord = spot.chord;
    let degree = step(chord, up(chord, target)).filter(|_| chord.bass().is_none())?;
    let ending = chord.symbol().strip_prefix(&chord.root().to_string())?;
    let bass = chord.spell(degree);
    let slash = over(chord.root(), ending, bass, spot.key, spot.beats)?;
    Some(led_on(at, spot, slash)?.because(format!(
        "the bass goes by step through {bass} into {target}"
    )))
}

/// The degree in the bass on the way to a root so many semitones higher.
fn step(chord: &Chord, up: i32) -> Option<Degree> {
    let seventh = chord.seventh();
    let third = chord.third().filter(|third| third.number() == 3);
    match (chord.family(), up) {
        (Family::Major, 9) if matches!(seventh, None | Some(Degree::SEVENTH)) => {
            Some(Degree::SEVENTH)
        }
        (Family::Minor, 8) if matches!(seventh, None | Some(Degree::FLAT_SEVENTH)) => {
            Some(Degree::FLAT_SEVENTH)
        }
        (Family::Major | Family::Dominant | Family::Minor, 5) => third,
        _ => None,
    }
}
