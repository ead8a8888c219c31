//! The page as a reharmoniser sees it: stretches of chords with nothing between them.
//!
//! A [`Passage`] is cut where the page has a seam (a repeat sign, an ending, a jump, a silence), since
//! a replacement is made on the page, once, and never across one. Whoever builds a passage does the
//! cutting; here a passage is only looked at.

use std::ops::Range;

use super::chord_kind::RootAndKind;
use super::context::context;
use super::local_key::LocalKey;
use super::suspension::resolves;
use crate::chart::{Beats, MelodyNote, Slot};
use crate::chord::{Chord, Family};
use crate::pitch::{Key, Mode, PitchClass};

/// A written chord with its time, its melody and the key that holds there.
#[derive(Debug, Clone, Copy)]
pub struct Spot<'a> {
    /// The chord.
    pub chord: &'a Chord,
    /// The key of the region it stands in, if one is known.
    pub key: Option<Key>,
    /// The written bar, counted from 1.
    pub bar: usize,
    /// The beat it starts on, from 1.
    pub beat: Beats,
    /// How many beats it lasts.
    pub beats: Beats,
    /// How many beats its bar has.
    pub bar_beats: Beats,
    /// The melody notes that sound in it, those begun earlier in the bar among them.
    pub melody_notes: &'a [MelodyNote],
}

impl<'a> Spot<'a> {
    /// The spot of a slot; `None` for a silent one.
    pub fn of(slot: &'a Slot, key: Option<Key>) -> Option<Self> {
        Some(Self {
            chord: slot.symbol.chord()?,
            key,
            bar: slot.bar,
            beat: slot.beat,
            beats: slot.beats,
            bar_beats: slot.bar_beats,
            melody_notes: &slot.melody_notes,
        })
    }

    /// Where it ends in its bar, as a beat from 1.
    pub fn end(&self) -> Beats {
        self.beat + self.beats
    }

    /// The tonic's pitch class up to the root's, in semitones, in a region of this mode.
    pub(crate) fn degree_in(&self, mode: Mode) -> Option<i32> {
        let key = self.key.filter(|key| key.mode() == mode)?;
        Some(above_tonic(key, self.chord))
    }

    pub(crate) fn is_whole_bar(&self) -> bool {
        self.beats == self.bar_beats
    }
}

/// A straight stretch of consecutive spots, and the chord that follows it.
#[derive(Debug, Clone, Copy)]
pub struct Passage<'a> {
    /// The chords, in the order they are written.
    pub spots: &'a [Spot<'a>],
    /// The chord played next after the stretch the first time through, if any.
    pub next: Option<&'a Chord>,
}

impl<'a> Passage<'a> {
    /// The spot at an index.
    pub fn spot(&self, at: usize) -> Option<&'a Spot<'a>> {
        self.spots.get(at)
    }

    /// The chord that comes just after spot `at`.
    pub fn after(&self, at: usize) -> Option<&'a Chord> {
        match self.spots.get(at + 1) {
            Some(spot) => Some(spot.chord),
            None => self.next,
        }
    }

    /// The spot just before `at`.
    pub fn before(&self, at: usize) -> Option<&'a Spot<'a>> {
        at.checked_sub(1).and_then(|before| self.spot(before))
    }

    /// The key of some spots that are all in one.
    pub(crate) fn one_key(&self, spots: Range<usize>) -> Option<Key> {
        let spots = self.spots.get(spots)?;
        let key = spots.first()?.key;
        key.filter(|_| spots.iter().all(|spot| spot.key == key))
    }

    /// The spots from `at` on that carry the same symbol in the same key.
    pub(crate) fn run(&self, at: usize) -> Range<usize> {
        let of = |spot: &'a Spot<'a>| (spot.chord.symbol(), spot.key);
        let symbol = self.spot(at).map(of);
        let rest = self.spots.get(at..).unwrap_or_default();
        let same = rest.iter().take_while(|spot| Some(of(spot)) == symbol);
        at..at + same.count()
    }

    /// Whether spot `at` begins its chord, rather than going on with the one before.
    pub(crate) fn begins(&self, at: usize) -> bool {
        let before = self.before(at).map(|spot| spot.chord.symbol());
        before != self.spot(at).map(|spot| spot.chord.symbol())
    }

    /// The spots a chord that moves on may be replaced over: all of its spots from its first on,
    /// and the last of several alone. `None` from the middle of a long chord.
    pub(crate) fn moving(&self, at: usize) -> Option<Range<usize>> {
        let run = self.run(at);
        (self.begins(at) || run.len() == 1).then_some(run)
    }

    /// The dominant that the chord of spot `at` is the ii of: it comes next, a fifth below.
    pub(crate) fn five_of(&self, at: usize) -> Option<&'a Chord> {
        let ii = self.spot(at).filter(|spot| is_minor(spot.chord))?;
        let five = self.after(self.run(at).end - 1)?;
        let falls = up(ii.chord, five) == 5 && RootAndKind::of(five).is_dominant();
        falls.then_some(five)
    }

    /// Whether the chord of spot `at` is the I7 or IV7 of a blues: at rest, and no dominant that one waits for.
    pub(crate) fn is_blues(&self, at: usize) -> bool {
        let next = self.after(self.run(at).end.saturating_sub(1));
        let spot = self.spot(at);
        spot.is_some_and(|spot| context(spot.chord, spot.key, next).blues)
    }

    /// Whether the chord of spot `at` is what the one before it leads to: the goal of a dominant, or
    /// the V of a ii. It can't go without breaking a cadence.
    pub(crate) fn is_awaited(&self, at: usize) -> bool {
        let pair = self.before(at).zip(self.spot(at));
        pair.is_some_and(|(before, spot)| {
            let leads = is_dominant(before.chord)
                || is_minor(before.chord) && RootAndKind::of(spot.chord).is_dominant();
            leads && up(before.chord, spot.chord) == 5
        })
    }

    /// Whether the chord of spot `at` is what the dominant before it falls a fifth or slides a half step to.
    pub(crate) fn is_goal(&self, at: usize) -> bool {
        let pair = self.before(at).zip(self.spot(at));
        pair.is_some_and(|(before, spot)| {
            is_dominant(before.chord) && matches!(up(before.chord, spot.chord), 5 | 11)
        })
    }

    /// Whether the chord of spot `at` resolves a suspension on its own root just before it.
    pub(crate) fn is_resolution(&self, at: usize) -> bool {
        let pair = self.before(at).zip(self.spot(at));
        pair.is_some_and(|(before, spot)| resolves(before.chord, spot.chord))
    }

    /// How long some spots last together.
    pub(crate) fn beats(&self, spots: Range<usize>) -> Beats {
        let spots = self.spots.get(spots).unwrap_or_default();
        spots.iter().map(|spot| spot.beats).sum()
    }
}

/// Semitones from one chord's root up to another's, 0 to 11.
pub(crate) fn up(from: &Chord, to: &Chord) -> i32 {
    RootAndKind::of(from).up_to(RootAndKind::of(to)).into()
}

/// Semitones from a key's tonic up to a chord's root, 0 to 11.
pub(crate) fn above_tonic(key: Key, chord: &Chord) -> i32 {
    LocalKey::of(key).degree(RootAndKind::of(chord)).into()
}

/// Whether a class belongs to the key; the minor key has both its sixths and both its sevenths.
pub(crate) fn is_diatonic(key: Key, class: PitchClass) -> bool {
    let above = key.tonic().class().up_to(class).0;
    match key.mode() {
        Mode::Major => [0, 2, 4, 5, 7, 9, 11].contains(&above),
        Mode::Minor => [0, 2, 3, 5, 7, 8, 9, 10, 11].contains(&above),
    }
}

/// A dominant whose third is there and whose root is in the bass.
///
/// The analysis also takes a suspended dominant for one and looks past the bass
/// ([`RootAndKind::is_dominant`]): it asks what a chord does. A technique asks what could be put in its
/// place, and neither a fourth nor a chosen bass is to be lost by that.
pub(crate) fn is_dominant(chord: &Chord) -> bool {
    chord.family() == Family::Dominant && chord.bass().is_none()
}

/// Whether a chord has its root in the bass: only then does a step of the roots sound as one of the bass.
pub(crate) fn is_on_root(chord: &Chord) -> bool {
    chord.lowest().class() == chord.root().class()
}

pub(crate) fn is_minor(chord: &Chord) -> bool {
    matches!(chord.family(), Family::Minor | Family::HalfDiminished)
}

/// Whether a chord stands on the tonic of the key, in its mode and at rest.
pub(crate) fn is_tonic(key: Key, chord: &Chord) -> bool {
    LocalKey::of(key).is_tonic(RootAndKind::of(chord))
}
