//! A proposal in its page: what goes and what comes, moment by moment, and the chords on either side.
//!
//! What is judged of a proposal is judged from here, and from nothing else.

use super::language::Language;
use crate::chart::{Beats, NewChord};
use crate::chord::Chord;
use crate::harmony::Spot;

/// A proposal between its neighbours.
#[derive(Debug, Clone, Copy)]
pub struct InPlace<'a> {
    /// The chords it replaces, in order.
    pub old: &'a [Spot<'a>],
    /// What stands there instead.
    pub new: &'a [NewChord],
    /// The chords that are played just before it, one for each way the performance comes here.
    pub before: &'a [&'a Chord],
    /// The chords that are played just after it, one for each way the performance goes on.
    pub after: &'a [&'a Chord],
    /// What the tune is written in.
    pub language: Language,
    /// How many beats a minute the page begins with, if it says.
    pub tempo: Option<u32>,
    /// Its first slot.
    pub at: usize,
    /// Whether it opens a section.
    pub opens: bool,
}

/// A new chord while one of the old ones would sound.
#[derive(Debug, Clone, Copy)]
pub struct Meeting<'a> {
    /// The old chord.
    pub spot: &'a Spot<'a>,
    /// The new one.
    pub new: &'a NewChord,
    /// How long they share.
    pub beats: Beats,
}

impl<'a> InPlace<'a> {
    /// Every new chord beside the old one whose time it takes.
    pub fn meetings(&self) -> impl Iterator<Item = Meeting<'a>> + use<'a> {
        let (old, new) = (self.old, self.new);
        old.iter().flat_map(move |spot| {
            new.iter().filter_map(move |new| {
                let beats = shared(spot, new);
                (beats > Beats::ZERO).then_some(Meeting { spot, new, beats })
            })
        })
    }

    /// Those of one of the old chords, by its place among them.
    pub fn meetings_of(&self, at: usize) -> impl Iterator<Item = Meeting<'a>> + use<'a> {
        let old = self.old.get(at..at + 1).unwrap_or_default();
        Self { old, ..*self }.meetings()
    }

    /// Those of them in which another chord sounds than before.
    pub fn changes(&self) -> impl Iterator<Item = Meeting<'a>> + use<'a> {
        self.meetings().filter(Meeting::differs)
    }

    /// The last new chord and the last old one.
    pub fn last(&self) -> Option<(&'a NewChord, &'a Spot<'a>)> {
        self.new.last().zip(self.old.last())
    }
}

impl Meeting<'_> {
    /// Whether the new chord is another one than the old.
    pub fn differs(&self) -> bool {
        let (old, new) = (self.spot.chord, &self.new.chord);
        old.symbol() != new.symbol() && !is_same(old, new)
    }
}

/// Whether two symbols ask for the same notes over the same bass.
fn is_same(a: &Chord, b: &Chord) -> bool {
    let bass = |chord: &Chord| chord.lowest().class();
    let root = |chord: &Chord| chord.root().class();
    root(a) == root(b) && bass(a) == bass(b) && a.tones() == b.tones()
}

fn shared(spot: &Spot<'_>, new: &NewChord) -> Beats {
    if spot.bar != new.bar {
        return Beats::ZERO;
    }
    let end = spot.end().min(new.beat + new.beats);
    end - spot.beat.max(new.beat).min(end)
}

/// What is judged of one chord in the place of another that stands alone.
#[cfg(test)]
pub(super) fn one_for_one<T>(old: &str, new: &str, judged: impl Fn(&InPlace<'_>) -> T) -> T {
    let chart = crate::chart::read(&format!("| {old} |")).unwrap();
    let slots = chart.slots();
    let old: Vec<Spot<'_>> = slots.iter().filter_map(|s| Spot::of(s, None)).collect();
    let new = [NewChord {
        bar: 1,
        beat: slots[0].beat,
        beats: slots[0].beats,
        chord: Chord::read(new).unwrap(),
    }];
    judged(&InPlace {
        old: &old,
        new: &new,
        before: &[],
        after: &[],
        language: Language::default(),
        tempo: None,
        at: 0,
        opens: false,
    })
}
