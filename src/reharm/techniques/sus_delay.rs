//! A dominant whose third comes late, or not at all.

use super::idea::{Idea, WantedKind, on, same, shared, whole};
use super::{Example, Technique};
use crate::harmony::passage::{Passage, is_dominant};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "sus-delay",
    rule: "A dominant seventh is suspended in the first half of its time, or in its first bar, or throughout.",
    taught: "\"Chord substitution\" handout (docslib 7593323); throughout, from memory",
    melody: "not the third while the fourth sounds",
    example: Example {
        key: "C",
        before: "| Dm7 | G7 | Cmaj7 |",
        after: "| Dm7 | G7sus G7 | Cmaj7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let spot = passage.spot(at).filter(|spot| is_dominant(spot.chord))?;
    let run = Some(passage.run(at)).filter(|_| passage.begins(at))?;
    let sus = || {
        on(
            spot.chord.root(),
            WantedKind::Suspended,
            spot.key,
            spot.beats,
        )
    };
    let stays = same(spot.chord, spot.beats);
    let late = match run.len() {
        1 => shared(passage, run.clone(), sus(), stays),
        _ => Some(whole(passage, at..at + 1, sus())),
    };
    let late =
        late.map(|idea| idea.because(format!("the fourth holds back the third of {}", spot.chord)));
    let never = whole(passage, run, sus()).because(format!(
        "the fourth takes the place of the third of {}",
        spot.chord
    ));
    Some(late.into_iter().chain([never]).collect())
}
