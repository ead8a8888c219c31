//! Chords borrowed from the parallel minor key (modal interchange).

use super::idea::{Idea, Kind, higher, on, whole};
use super::{Example, Technique};
use crate::chord::Family;
use crate::harmony::passage::{Passage, is_tonic};
use crate::pitch::Mode;

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "borrowed",
    rule: "A chord of a major key becomes its counterpart from the parallel minor: iim7b5, bIIImaj7, ivm7, vm7, bVImaj7 or bVII7; before I, bIImaj7 stands for V7.",
    taught: "Felts, Reharmonization Techniques, chapter on modal interchange (contents read); which chords, from memory",
    melody: "the sounds of the borrowed chord",
    example: Example {
        key: "C",
        before: "| Dm7 | G7 | Cmaj7 |",
        after: "| Dm7b5 | G7 | Cmaj7 |",
    },
    find,
};

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    idea(passage, at).into_iter().collect()
}

fn idea(passage: &Passage<'_>, at: usize) -> Option<Idea> {
    let spot = passage
        .spot(at)
        .filter(|spot| spot.chord.bass().is_none())?;
    let degree = spot.degree_in(Mode::Major)?;
    let key = spot.key?;
    let spots = passage.moving(at)?;
    let next = passage.after(spots.end - 1);
    let home = next.is_some_and(|next| is_tonic(key, next));
    let (letters, semitones, kind, numeral) = match (degree, spot.chord.family()) {
        (2, Family::Minor) => (1, 2, Kind::HalfDiminished, "iim7b5"),
        (4, Family::Minor) => (2, 3, Kind::Major, "bIIImaj7"),
        (5, Family::Major) => (3, 5, Kind::Minor, "ivm7"),
        (7, Family::Dominant) if home => (1, 1, Kind::Major, "bIImaj7"),
        (7, Family::Dominant) => (4, 7, Kind::Minor, "vm7"),
        (9, Family::Minor) => (5, 8, Kind::Major, "bVImaj7"),
        (11, Family::HalfDiminished) => (6, 10, Kind::Dominant, "bVII7"),
        _ => return None,
    };
    let root = higher(key.tonic(), letters, semitones);
    let idea = whole(passage, spots, on(root, kind, spot.key, spot.beats));
    let from = match numeral {
        "bIImaj7" => "the parallel phrygian, a half step above home",
        _ => "the parallel minor, with the same part in the phrase",
    };
    Some(idea.because(format!("{numeral} of {key} is borrowed from {from}")))
}
