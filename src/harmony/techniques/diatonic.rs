//! Another chord of the key with three common tones.

use super::idea::{Idea, Kind, higher, on, whole};
use super::{Example, Technique};
use crate::chord::Family;
use crate::harmony::passage::{Passage, is_dominant, up};
use crate::pitch::Mode;

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "diatonic",
    rule: "A seventh chord of a major key changes places with one that shares three of its tones: I with iii or vi, ii with IV, IV with vi, V with vii.",
    taught: "lesson on diatonic substitution (read)",
    melody: "the sounds of the new chord; not the root of a major seventh",
    example: Example {
        key: "C",
        before: "| Fmaj7 | G7 | Cmaj7 |",
        after: "| Dm7 | G7 | Cmaj7 |",
    },
    find,
};

/// A degree of the major key: letters and semitones above the tonic, and its seventh chord.
struct Degree {
    letters: i32,
    semitones: i32,
    family: Family,
    numeral: &'static str,
}

const fn degree(letters: i32, semitones: i32, family: Family, numeral: &'static str) -> Degree {
    Degree {
        letters,
        semitones,
        family,
        numeral,
    }
}

const ONE: Degree = degree(0, 0, Family::Major, "I");
const TWO: Degree = degree(1, 2, Family::Minor, "ii");
const THREE: Degree = degree(2, 4, Family::Minor, "iii");
const FOUR: Degree = degree(3, 5, Family::Major, "IV");
const FIVE: Degree = degree(4, 7, Family::Dominant, "V");
const SIX: Degree = degree(5, 9, Family::Minor, "vi");
const SEVEN: Degree = degree(6, 11, Family::HalfDiminished, "vii");

const PAIRS: [(Degree, Degree); 5] = [
    (ONE, THREE),
    (ONE, SIX),
    (TWO, FOUR),
    (FOUR, SIX),
    (FIVE, SEVEN),
];

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    let there = PAIRS.iter().filter_map(|(a, b)| idea(passage, at, a, b));
    let back = PAIRS.iter().filter_map(|(a, b)| idea(passage, at, b, a));
    there.chain(back).collect()
}

fn idea(passage: &Passage<'_>, at: usize, from: &Degree, to: &Degree) -> Option<Idea> {
    let spot = passage.spot(at).filter(|_| passage.begins(at))?;
    let here = spot.degree_in(Mode::Major)? == from.semitones;
    let fits = here && spot.chord.family() == from.family && spot.chord.bass().is_none();
    let key = spot.key.filter(|_| fits)?;
    // A I after its own V7 that gives way is a deceptive cadence, which is another technique.
    let arrives = passage
        .before(at)
        .is_some_and(|before| is_dominant(before.chord) && up(before.chord, spot.chord) == 5);
    if arrives && from.semitones == 0 {
        return None;
    }
    let root = higher(key.tonic(), to.letters, to.semitones);
    let chord = on(root, kind(to.family), spot.key, spot.beats);
    let idea = whole(passage, passage.run(at), chord);
    Some(idea.because(format!(
        "{} shares three tones with {} in {key}",
        to.numeral, from.numeral
    )))
}

const fn kind(family: Family) -> Kind {
    match family {
        // Not the sixth chord: C6 has the very tones of Am7.
        Family::Major => Kind::Text("maj7"),
        Family::Dominant => Kind::Dominant,
        Family::HalfDiminished => Kind::HalfDiminished,
        _ => Kind::Minor,
    }
}
