//! The bar in which the melody rests, on its way to what comes.
//!
//! Turnarounds are printed for the last two bars of a form (an encyclopedia's article and a column on
//! them, both read). That the bar in which a phrase has ended goes on to the ii-V of whatever comes
//! next, or round to I, is common practice without a source; the two chords to the beat are the I VI7 ii
//! V7 of those texts.

use super::idea::{Idea, Wanted, WantedKind, halves, same};
use super::roman_numerals::{RomanNumeral, roman};
use super::two_five::{Goal, two_five};
use super::{Example, Technique};
use crate::chart::Beats;
use crate::chord::Family;
use crate::harmony::passage::{Passage, Spot, above_tonic, is_tonic};
use crate::pitch::{Key, Mode};

/// The technique.
pub(super) const TECHNIQUE: Technique = Technique {
    name: "resting-turnaround",
    rule: "Where the melody holds a note or is silent over a bar of I, the second half of the bar takes the ii-V of the chord that comes; before I again also VI7 ii V7, a beat each.",
    taught: "encyclopedia article and a column on turnarounds (both read) for I VI7 ii V7; that it fills the bar in which the melody rests, from memory",
    melody: "no note that begins in the second half of the bar",
    example: Example {
        key: "C",
        before: "| G7 | Cmaj7 | Dm7 |\nmel | D5:4 | E5:4 | F5:4 |",
        after: "| G7 | Cmaj7 / Em7 A7 | Dm7 |",
    },
    find,
};

const OF_TWO: RomanNumeral = roman("VI7", 5, 9, WantedKind::Dominant);

fn find(passage: &Passage<'_>, at: usize) -> Vec<Idea> {
    ideas(passage, at).unwrap_or_default()
}

fn ideas(passage: &Passage<'_>, at: usize) -> Option<Vec<Idea>> {
    let spot = passage.spot(at).filter(|spot| spot.is_whole_bar())?;
    let key = spot.key.filter(|key| is_home(*key, spot))?;
    let next = passage.after(at)?;
    let goal = Goal::of(key, next)?;
    let (first, rest) = halves(spot.bar_beats)?;
    if next.symbol() == spot.chord.symbol() && !passage.begins(at) || !rests(spot, first) {
        return None;
    }
    let (ii, v) = halves(rest).or_else(|| (first > rest).then_some((rest, rest)))?;
    let one = spot.beats - ii - v;
    let [two, five] = two_five(key, goal, [ii, v]);
    let home = above_tonic(key, next) == 0;
    let turned = vec![same(spot.chord, one), two.clone(), five.clone()];
    let whole = (home && ii == v && one == ii + v).then(|| {
        let of_two = OF_TWO.of(key, ii);
        vec![same(spot.chord, one - ii), of_two, two, five]
    });
    let idea = |chords: Vec<Wanted>| Idea {
        spots: at..at + 1,
        chords,
        reason: format!(
            "{}, and a turnaround leads on to {next}",
            why(passage, spot)
        ),
    };
    Some(std::iter::once(turned).chain(whole).map(idea).collect())
}

/// The tonic at rest, or the I7 of a blues.
fn is_home(key: Key, spot: &Spot<'_>) -> bool {
    let blues = key.mode() == Mode::Major && spot.chord.family() == Family::Dominant;
    is_tonic(key, spot.chord) || blues && above_tonic(key, spot.chord) == 0
}

/// What makes room for it.
fn why(passage: &Passage<'_>, spot: &Spot<'_>) -> &'static str {
    let mut spots = passage.spots.iter();
    if spots.all(|spot| spot.melody_notes.is_empty()) {
        return "the chord stays for the whole bar";
    }
    match spot.melody_notes.is_empty() {
        true => "the melody rests here",
        false => "no note of the melody begins in the second half of the bar",
    }
}

/// Whether no note of the melody begins after the first half of the bar.
fn rests(spot: &Spot<'_>, half: Beats) -> bool {
    let begins_late = |beat: Beats| beat >= Beats::whole(1) + half;
    !spot.melody_notes.iter().any(|note| begins_late(note.beat))
}
