//! A replacement, finished: chords with their places, a reason, and what becomes of the melody.
//!
//! A technique only has an [`Idea`]: which chords, in which order, how long, and why. Here the idea
//! is laid out over the bars, its symbols are chosen so that the melody can be sung over them, and it is
//! dropped where that can't be done. So no technique needs to know how a bar is written.
//!
//! What holds for every proposal: the new chords fill exactly the time of the spots they replace and
//! none crosses a bar line; each bar stays writable (whole beats, or the very lengths that were there);
//! every symbol reads; at least one chord is new, under whatever name, and is not just its neighbour
//! once more; and the melody refuses none of them.

use std::collections::BTreeSet;
use std::ops::Range;

use super::in_rhythm::in_rhythm;
use super::techniques::{Idea, TECHNIQUES, Technique};
use crate::chart::NewChord;
use crate::chord::Chord;
use crate::harmony::layout::{Time, laid_out};
use crate::harmony::passage::{Passage, Spot};
use crate::harmony::{MelodyFit, melody_fit_anew};
use crate::pitch::PitchClass;

/// A replacement that the melody accepts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposal {
    /// The technique's name.
    pub technique: &'static str,
    /// Which spots of the passage it replaces, whole.
    pub spots: Range<usize>,
    /// What stands there instead, in order; a chord that lasts two bars is given in each.
    pub chords: Vec<NewChord>,
    /// One sentence: what it replaces and why it works here.
    pub why: String,
    /// What every note of the melody becomes, chord by chord; all of them fit.
    pub melody: Vec<MelodyFit>,
}

impl Proposal {
    /// Takes up the reason that the same chords have where the performance goes on in another way.
    pub(super) fn also(&mut self, other: &Self) {
        if let Some((_, reason)) = other.why.split_once(": ") {
            self.why = format!("{}; another time, {reason}", self.why);
        }
    }
}

/// Every proposal for a passage: by first spot, then in the order of [`TECHNIQUES`].
///
/// ```
/// use compline::chart;
/// use compline::harmony::{Passage, Spot};
/// use compline::reharm::proposals;
///
/// let chart = chart::read("key: C\n| Dm7 | G7 | Cmaj7 |").unwrap();
/// let slots = chart.slots();
/// let spots: Vec<Spot> = slots
///     .iter()
///     .filter_map(|slot| Spot::of(slot, chart.key()))
///     .collect();
/// let all = proposals(&Passage { spots: &spots, next: None });
/// let tritone = all.iter().find(|p| p.technique == "tritone").unwrap();
/// assert_eq!(tritone.chords[0].chord.symbol(), "Db7");
/// ```
pub fn proposals(passage: &Passage<'_>) -> Vec<Proposal> {
    let places = 0..passage.spots.len();
    let at = |at| {
        TECHNIQUES
            .iter()
            .flat_map(move |way| proposals_at(way, passage, at))
    };
    places.flat_map(at).collect()
}

/// The proposals of one technique that start at one spot.
pub fn proposals_at(way: &Technique, passage: &Passage<'_>, at: usize) -> Vec<Proposal> {
    let mut found: Vec<Proposal> = Vec::new();
    for idea in (way.find)(passage, at) {
        if let Some(proposal) = finished(way.name, passage, &idea) {
            let known =
                |other: &Proposal| other.spots == proposal.spots && other.chords == proposal.chords;
            if !found.iter().any(known) {
                found.push(proposal);
            }
        }
    }
    found
}

/// The idea as a proposal, if it can be written down, is anything new and the melody accepts it.
fn finished(technique: &'static str, passage: &Passage<'_>, idea: &Idea) -> Option<Proposal> {
    let old = passage.spots.get(idea.spots.clone())?;
    let times = laid_out(
        old,
        &idea.chords.iter().map(|c| c.beats).collect::<Vec<_>>(),
    )?;
    let mut chords = Vec::with_capacity(times.len());
    let mut melody = Vec::new();
    for (place, wanted) in idea.chords.iter().enumerate() {
        let mine: Vec<&Time<'_>> = times.iter().filter(|time| time.of == place).collect();
        let (chord, notes) = wanted.choices().find_map(|chord| {
            let notes = melody_fit_anew(&chord, wanted.only, &mine)?;
            Some((chord, notes))
        })?;
        melody.extend(notes);
        chords.extend(mine.iter().map(|time| time.filled(&chord)));
    }
    let adds = is_new(old, &chords) && !goes_on(passage, idea, &chords);
    adds.then(|| Proposal {
        technique,
        spots: idea.spots.clone(),
        why: sentence(old, &chords, &idea.reason),
        chords,
        melody,
    })
}

impl Time<'_> {
    fn filled(&self, chord: &Chord) -> NewChord {
        NewChord {
            bar: self.bar,
            beat: self.stretch.beat,
            beats: self.stretch.beats,
            chord: chord.clone(),
        }
    }
}

/// Whether any of the new chords sounds different from what is there.
fn is_new(old: &[Spot<'_>], chords: &[NewChord]) -> bool {
    let differs = |new: &NewChord, spot: &Spot<'_>| {
        let together =
            new.bar == spot.bar && new.beat < spot.end() && new.beat + new.beats > spot.beat;
        together && !sounds_alike(&new.chord, spot.chord)
    };
    chords
        .iter()
        .any(|new| old.iter().any(|spot| differs(new, spot)))
}

/// Whether the only new chord is the one before or after it once more, or another on its root where
/// the roots moved: then nothing has come, and a chord has gone.
fn goes_on(passage: &Passage<'_>, idea: &Idea, chords: &[NewChord]) -> bool {
    let before = passage.before(idea.spots.start).map(|spot| spot.chord);
    let after = passage.after(idea.spots.end - 1);
    if idea.chords.len() > 1 {
        return false;
    }
    let old = passage
        .spot(idea.spots.start)
        .map(|spot| spot.chord.root().class());
    let same = |chord: &Chord, other: &Chord| {
        let bass = chord.bass().is_none() && other.bass().is_none();
        let root = chord.root().class() == other.root().class();
        let came = old != Some(chord.root().class());
        bass && root && (came || chord.family() == other.family())
    };
    let mut near = before.into_iter().chain(after);
    let new = chords.first().map(|new| &new.chord);
    new.is_some_and(|new| near.any(|other| same(new, other)))
}

/// Whether two symbols ask for the same notes over the same bass, or are two names for one chord: the
/// notes of C6 are those of Am7.
fn sounds_alike(a: &Chord, b: &Chord) -> bool {
    let bass = |chord: &Chord| chord.bass().map(|bass| bass.class());
    let over_one = a.root().class() == b.root().class() && bass(a) == bass(b);
    let plain = a.bass().is_none() && b.bass().is_none();
    over_one && a.tones() == b.tones() || plain && classes(a) == classes(b)
}

fn classes(chord: &Chord) -> BTreeSet<PitchClass> {
    chord.classes().collect()
}

/// `Db7 for G7: its 3 and 7 are …`.
fn sentence(old: &[Spot<'_>], chords: &[NewChord], reason: &str) -> String {
    let old = named(old.iter().map(|spot| spot.chord));
    let new = in_rhythm(chords);
    format!("{new} for {old}: {reason}")
}

/// Symbols in a row, one that goes on given once.
fn named<'a>(chords: impl Iterator<Item = &'a Chord>) -> String {
    let mut symbols: Vec<&str> = chords.map(Chord::symbol).collect();
    symbols.dedup();
    symbols.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Slot, read};

    #[test]
    fn a_chord_is_new_only_beside_what_sounds_with_it() {
        let chart = read("key: C\n| Am7 D7 |").unwrap();
        let slots = chart.slots();
        let old: Vec<Spot<'_>> = slots
            .iter()
            .filter_map(|slot| Spot::of(slot, None))
            .collect();
        let put = |slot: &Slot, symbol: &str| NewChord {
            bar: slot.bar,
            beat: slot.beat,
            beats: slot.beats,
            chord: Chord::read(symbol).unwrap(),
        };
        let row = |symbols: [&str; 2]| [put(&slots[0], symbols[0]), put(&slots[1], symbols[1])];
        // The same chords, the first of them under another name.
        assert!(!is_new(&old, &row(["Am7", "D7"])) && !is_new(&old, &row(["C6", "D7"])));
        assert!(is_new(&old, &row(["Am7", "Ab7"])) && is_new(&old, &row(["D7", "Am7"])));
    }
}
