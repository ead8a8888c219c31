//! Chords borrowed from the parallel key (modal interchange).
//!
//! What replaces what in a major key is listed in *Jazz Composition: Theory and Practice* (an extract
//! of pp. 75-76 read): iim7b5 for ii, ivm7, bVImaj7 and bVII7 for IV, vm7 for V7. That iii and vi give
//! way to the chord a half step below them, and vii to bVII7, is from memory, and so is bIImaj7 before I.
//! The same extract lends IVmaj7 to Dorian in place of IV7. The rest of the minor key is common practice
//! without a source: iim7 for iim7b5, IV7 for iv, and the major tonic at the very end (the Picardy
//! third).
//!
//! A chord that would stand a tritone from the next root is left out: no such bass is printed.

use std::ops::Range;

use super::idea::{Idea, WantedKind, whole};
use super::roman_numerals::{RomanNumeral, lone, roman};
use super::{Example, Technique};
use crate::chart::Beats;
use crate::chord::{Chord, Family};
use crate::harmony::ChordTime;
use crate::harmony::passage::{Passage, Spot, above_tonic, is_tonic};
use crate::pitch::{Key, Mode, Semitones};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "borrowed",
    rule: "A chord becomes its counterpart from the parallel key: in major iim7b5, bIIImaj7, ivm7, vm7, bVImaj7 or bVII7; in minor iim7, IV7, IVmaj7 for a IV7, and a major I at the very end; before the tonic, bIImaj7 stands for V7.",
    taught: "Jazz Composition: Theory and Practice, pp. 75-76 (an extract read), and Felts, Reharmonization Techniques, chapter on modal interchange (contents read); into minor, common practice",
    melody: "the sounds of the borrowed chord; over IV7 and bVII7 those of a Lydian dominant",
    example: Example {
        key: "C",
        before: "| Dm7 | G7 | Cmaj7 |",
        after: "| Dm7b5 | G7 | Cmaj7 |",
    },
    find,
};

const LYDIAN_DOMINANT: &[u8] = &[0, 2, 4, 6, 7, 9, 10];

const FLAT_TWO: RomanNumeral = lone("bIImaj7", 1, 1, WantedKind::Major);
const FLAT_SIX: RomanNumeral = lone("bVImaj7", 5, 8, WantedKind::Major);
const FLAT_SEVEN: RomanNumeral = roman("bVII7", 6, 10, WantedKind::Dominant);

/// What comes after the chord.
struct GoesTo {
    key: Key,
    /// The next root above the tonic.
    next: Option<i32>,
    /// The next chord is the tonic.
    home: bool,
    /// Nothing comes any more.
    end: bool,
}

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let spot = passage
        .spot(at)
        .filter(|spot| spot.chord.bass().is_none())?;
    let (key, spots) = (spot.key?, passage.moving(at)?);
    let five = passage.five_of(at);
    // The ii of a dominant that is not the key's V would be lost to it.
    if five.is_some_and(|five| above_tonic(key, five) != 7) {
        return None;
    }
    let next = passage.after(spots.end - 1);
    let ahead = GoesTo {
        key,
        next: next.map(|next| above_tonic(key, next)),
        home: next.is_some_and(|next| is_tonic(key, next)),
        end: next.is_none() && spots.end == passage.spots.len(),
    };
    let lent = match key.mode() {
        Mode::Major => from_minor(spot.chord, &ahead, passage.is_awaited(at)),
        Mode::Minor => from_major(spot.chord, &ahead, passage.is_awaited(at)),
    };
    let lent = lent.into_iter().filter(|lent| ahead.is_near(lent));
    let fits = |lent: &RomanNumeral| {
        lent.numeral != "iim7b5"
            || has_its_place(passage, &spots, key) && !is_in_blues(passage, key)
    };
    let lent = lent.filter(fits);
    let ideas = lent.map(|lent| {
        let chord = lent.of(key, spot.beats);
        let chord = match matches!(lent.numeral, "bVII7" | "IV7") {
            true => chord.only(LYDIAN_DOMINANT),
            false => chord,
        };
        let from = lender(lent.numeral, key.mode());
        whole(passage, spots.clone(), chord)
            .because(format!("{} of {key} is borrowed from {from}", lent.numeral))
    });
    Some(ideas.collect())
}

/// Whether the half-diminished ii has its place: its V goes home at once, so that the dark chord is part of a
/// cadence, and the tune doesn't answer it over the V with the key's own 6, which it has just bent (a pianist's
/// marks).
fn has_its_place(passage: &Passage<'_>, ii: &Range<usize>, key: Key) -> bool {
    let fives = passage.spots.get(ii.end..).unwrap_or_default();
    let on_five = |spot: &&Spot<'_>| above_tonic(key, spot.chord) == 7;
    let fives: Vec<&Spot<'_>> = fives.iter().take_while(on_five).collect();
    // Where the V lies beyond a seam, nothing is known of its goal.
    let cadence = match fives.len().checked_sub(1) {
        Some(last) => passage
            .after(ii.end + last)
            .is_none_or(|home| is_tonic(key, home)),
        None => passage.spots.len() == ii.end,
    };
    let six = key.tonic().class().plus(Semitones(9));
    let answered = fives.iter().any(|spot| {
        let time = ChordTime::of(spot);
        let mut sung = spot.melody_notes.iter();
        sung.any(|note| note.note.name().class() == six && time.heard(note) >= Beats::whole(1))
    });
    cadence && !answered
}

/// Whether the only tonic is the I7 of a blues: a minor shade is soft for it (an arranger's mark).
fn is_in_blues(passage: &Passage<'_>, key: Key) -> bool {
    let mut spots = passage.spots.iter().enumerate();
    let blues = spots.any(|(at, spot)| above_tonic(key, spot.chord) == 0 && passage.is_blues(at));
    blues && !passage.spots.iter().any(|spot| is_tonic(key, spot.chord))
}

impl GoesTo {
    fn is_near(&self, lent: &RomanNumeral) -> bool {
        self.next
            .is_none_or(|next| (next - lent.above()).rem_euclid(12) != 6)
    }
}

/// What the parallel minor lends for a chord of a major key.
fn from_minor(chord: &Chord, ahead: &GoesTo, awaited: bool) -> Vec<RomanNumeral> {
    let to_five = ahead.next == Some(7);
    match (above_tonic(ahead.key, chord), chord.family()) {
        (2, Family::Minor) => vec![roman("iim7b5", 1, 2, WantedKind::HalfDiminished)],
        (4, Family::Minor) => vec![lone("bIIImaj7", 2, 3, WantedKind::Major)],
        (5, Family::Major) => {
            let six = (ahead.home || to_five).then_some(FLAT_SIX);
            let seven = ahead.home.then_some(FLAT_SEVEN);
            let four = roman("ivm7", 3, 5, WantedKind::Minor);
            [Some(four), six, seven].into_iter().flatten().collect()
        }
        (7, Family::Dominant) if ahead.home => vec![FLAT_TWO],
        // At the end of a form the V leads round to its beginning.
        (7, Family::Dominant) if !awaited && !ahead.end => {
            vec![roman("vm7", 4, 7, WantedKind::Minor)]
        }
        (9, Family::Minor) => vec![FLAT_SIX],
        (11, Family::HalfDiminished) => vec![FLAT_SEVEN],
        _ => Vec::new(),
    }
}

/// What the parallel major lends for a chord of a minor key.
fn from_major(chord: &Chord, ahead: &GoesTo, awaited: bool) -> Vec<RomanNumeral> {
    match (above_tonic(ahead.key, chord), chord.family()) {
        (0, Family::Minor) if ahead.end => vec![roman("I", 0, 0, WantedKind::Major)],
        (2, Family::HalfDiminished) => vec![roman("iim7", 1, 2, WantedKind::Minor)],
        // Before bVII it would be that chord's own dominant, which is another technique.
        (5, Family::Minor) if ahead.next != Some(10) => {
            vec![roman("IV7", 3, 5, WantedKind::Dominant)]
        }
        // Between two tonics it is at home; elsewhere i may be its ii, which it must answer.
        (5, Family::Dominant) if ahead.home || !awaited && ahead.next != Some(10) => {
            vec![roman("IVmaj7", 3, 5, WantedKind::Major)]
        }
        (7, Family::Dominant) if ahead.home => vec![FLAT_TWO],
        _ => Vec::new(),
    }
}

fn lender(numeral: &str, mode: Mode) -> &'static str {
    match (numeral, mode) {
        ("bIImaj7", _) => "the parallel phrygian, a half step above home",
        ("I", _) => "the parallel major, and closes on its bright third",
        ("IV7", Mode::Minor) => "the parallel dorian, whose natural 6 is its third",
        (_, Mode::Minor) => "the parallel major, with the same part in the phrase",
        (_, Mode::Major) => "the parallel minor, with the same part in the phrase",
    }
}
