//! A V7 that arrives elsewhere.

use super::idea::{Idea, WantedKind, whole};
use super::roman_numerals::{RomanNumeral, lone, roman};
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

const MAJOR: [RomanNumeral; 4] = [
    roman("vi", 5, 9, WantedKind::Minor),
    roman("iii", 2, 4, WantedKind::Minor),
    lone("bVI", 5, 8, WantedKind::Major),
    roman("IV", 3, 5, WantedKind::Major),
];

const MINOR: [RomanNumeral; 1] = [roman("bVI", 5, 8, WantedKind::Major)];

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
    let goals: &[RomanNumeral] = match key.mode() {
        Mode::Major => &MAJOR,
        Mode::Minor => &MINOR,
    };
    let ideas = goals.iter().map(|goal| {
        whole(passage, passage.run(at), goal.of(key, spot.beats)).because(format!(
            "{} promises the tonic of {key} and arrives on {}",
            before.chord, goal.numeral
        ))
    });
    Some(ideas.collect())
}
