//! Another chord of the key with three common tones.
//!
//! Chords of one scale whose roots lie a third apart share three tones (lesson on diatonic
//! substitution, read; it prints the pairs of the major key). Those of the minor key follow from the
//! same rule: i7 bIIImaj7, i7 bVImaj7, ii7b5 iv7, iv7 bVImaj7, and V7 with the vii7 that has the
//! raised leading tone (computed). That bVII7 and ii7b5 do so too is left out: they are the V and vii of
//! the relative major, and the ii would be lost to its V.

use super::idea::{Idea, WantedKind, whole};
use super::roman_numerals::{RomanNumeral, roman};
use super::{Example, Technique};
use crate::chord::Chord;
use crate::harmony::passage::{Passage, above_tonic, is_tonic};
use crate::pitch::{Key, Mode, Name};
use crate::words::listed;

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "diatonic",
    rule: "A chord of the key changes places with one a third away, whose seventh chord shares three tones with its own: I with iii or vi, ii with IV, IV with vi, V with vii; in minor i with bIII or bVI, ii with iv, iv with bVI, V with the diminished vii.",
    taught: "lesson on diatonic substitution (read), for major keys; in minor by the same rule",
    melody: "the sounds of the new chord; not the root of a major seventh",
    example: Example {
        key: "C",
        before: "| Fmaj7 | G7 | Cmaj7 |",
        after: "| Dm7 | G7 | Cmaj7 |",
    },
    find,
};

// Never the sixth chord for a major one: C6 has the very tones of Am7.
const SEVENTH: WantedKind = WantedKind::Text("maj7");

const ONE: RomanNumeral = roman("I", 0, 0, SEVENTH);
const TWO: RomanNumeral = roman("ii", 1, 2, WantedKind::Minor);
const THREE: RomanNumeral = roman("iii", 2, 4, WantedKind::Minor);
const FOUR: RomanNumeral = roman("IV", 3, 5, SEVENTH);
const FIVE: RomanNumeral = roman("V", 4, 7, WantedKind::Dominant);
const SIX: RomanNumeral = roman("vi", 5, 9, WantedKind::Minor);
const SEVEN: RomanNumeral = roman("vii", 6, 11, WantedKind::HalfDiminished);

const MAJOR: [(RomanNumeral, RomanNumeral); 5] = [
    (ONE, THREE),
    (ONE, SIX),
    (TWO, FOUR),
    (FOUR, SIX),
    (FIVE, SEVEN),
];

const MINOR_ONE: RomanNumeral = roman("i", 0, 0, WantedKind::Minor);
const MINOR_TWO: RomanNumeral = roman("ii", 1, 2, WantedKind::HalfDiminished);
const FLAT_THREE: RomanNumeral = roman("bIII", 2, 3, SEVENTH);
const MINOR_FOUR: RomanNumeral = roman("iv", 3, 5, WantedKind::Minor);
const FLAT_SIX: RomanNumeral = roman("bVI", 5, 8, SEVENTH);
const RAISED_SEVEN: RomanNumeral = roman("vii", 6, 11, WantedKind::Diminished);

const MINOR: [(RomanNumeral, RomanNumeral); 5] = [
    (MINOR_ONE, FLAT_THREE),
    (MINOR_ONE, FLAT_SIX),
    (MINOR_TWO, MINOR_FOUR),
    (MINOR_FOUR, FLAT_SIX),
    (FIVE, RAISED_SEVEN),
];

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    let Some(key) = passage.spot(at).and_then(|spot| spot.key) else {
        return Vec::new();
    };
    if !passage.begins(at) || keeps(passage, at, key) {
        return Vec::new();
    }
    let pairs = match key.mode() {
        Mode::Major => &MAJOR,
        Mode::Minor => &MINOR,
    };
    let there = pairs
        .iter()
        .filter_map(|(a, b)| idea(passage, at, key, (a, b)));
    let back = pairs
        .iter()
        .filter_map(|(a, b)| idea(passage, at, key, (b, a)));
    there.chain(back).collect()
}

fn idea(
    passage: &Passage<'_>,
    at: usize,
    key: Key,
    (from, to): (&RomanNumeral, &RomanNumeral),
) -> Option<Idea> {
    let spot = passage.spot(at).filter(|spot| from.is(key, spot.chord))?;
    let wanted = to.of(key, spot.beats);
    let shared = shared_tones(spot.chord, &wanted.choices().next()?);
    let idea = whole(passage, passage.run(at), wanted);
    Some(idea.because(format!(
        "in {key} {} stands for {}, and both have {shared}",
        to.numeral, from.numeral
    )))
}

/// The tones of a chord that another has as well: `B and D`.
fn shared_tones(chord: &Chord, other: &Chord) -> String {
    let has = |name: &Name| other.classes().any(|class| class == name.class());
    let tones = chord.tones().iter().map(|tone| chord.spell(tone.degree));
    let tones: Vec<String> = tones.filter(has).map(|name| name.to_string()).collect();
    listed(&tones, "and")
}

/// Whether a chord is part of a cadence that would be lost with it: the ii of a dominant that is not
/// the key's own V, or the tonic after its V (which gives way in a deceptive cadence, another
/// technique).
fn keeps(passage: &Passage<'_>, at: usize, key: Key) -> bool {
    let tonic = passage
        .spot(at)
        .is_some_and(|spot| is_tonic(key, spot.chord));
    let arrives = tonic && passage.is_goal(at);
    let five = passage.five_of(at);
    arrives || passage.is_resolution(at) || five.is_some_and(|five| above_tonic(key, five) != 7)
}
