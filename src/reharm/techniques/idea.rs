//! What a technique thinks of: chords in a row with their lengths, and a reason.
//!
//! A chord is wanted by its root and its [`WantedKind`]; which symbol it gets depends on the melody, so each
//! kind lists its [`Wanted::choices`] and the first that the melody accepts is taken. Roots are given
//! by their musical reason (a fifth above the target, a half step below it) and then called by their
//! everyday name in the key.

use std::ops::Range;

use crate::chart::{Beats, enharmonic};
use crate::chord::{Chord, Family};
use crate::harmony::passage::{Passage, Spot};
use crate::pitch::{Interval, Key, Name, Semitones};

/// A replacement before anybody has asked the melody.
#[derive(Debug, Clone)]
pub struct Idea {
    /// The spots of the passage it replaces.
    pub(in crate::reharm) spots: Range<usize>,
    /// What is to stand there.
    pub(in crate::reharm) chords: Vec<Wanted>,
    /// Why it works here: the second half of a sentence.
    pub(in crate::reharm) reason: String,
}

/// A chord that is wanted somewhere.
#[derive(Debug, Clone)]
pub struct Wanted {
    root: Name,
    kind: WantedKind,
    /// How long it lasts.
    pub(in crate::reharm) beats: Beats,
    /// The sounds of the melody the technique allows over it, in semitones above the root, where it
    /// is stricter than the chord itself.
    pub(in crate::reharm) only: Option<&'static [u8]>,
}

/// What kind of chord is wanted.
#[derive(Debug, Clone)]
pub(super) enum WantedKind {
    /// A dominant seventh, with the alterations the melody asks for.
    Dominant,
    /// A major seventh, or a sixth under a melody that holds the root.
    Major,
    /// A minor seventh.
    Minor,
    /// A minor sixth, or whatever other minor chord the melody accepts.
    MinorSubdominant,
    /// A half-diminished seventh.
    HalfDiminished,
    /// A diminished seventh.
    Diminished,
    /// A dominant with a fourth in place of the third.
    Suspended,
    /// What is written after the root, as it is.
    Text(&'static str),
    /// This very chord.
    Same(Chord),
}

/// The alterations of a dominant, plainest first: what the melody needs must be written.
const DOMINANTS: [&str; 8] = [
    "7",
    "7b9",
    "7#9",
    "7b13",
    "7(b9,b13)",
    "7(#9,b13)",
    "7(b9,#9)",
    "7alt",
];

impl WantedKind {
    fn endings(&self) -> &[&'static str] {
        match self {
            Self::Dominant => &DOMINANTS,
            Self::Major => &["maj7", "6"],
            Self::Minor => &["m7"],
            Self::MinorSubdominant => &["m6", "m7", "m(maj7)"],
            Self::HalfDiminished => &["m7b5"],
            Self::Diminished => &["dim7"],
            Self::Suspended => &["7sus"],
            Self::Text(text) => std::slice::from_ref(text),
            Self::Same(_) => &[],
        }
    }

    pub(super) const fn family(&self) -> Family {
        match self {
            Self::Dominant | Self::Suspended => Family::Dominant,
            Self::Minor | Self::MinorSubdominant => Family::Minor,
            Self::HalfDiminished => Family::HalfDiminished,
            Self::Diminished => Family::Diminished,
            Self::Major | Self::Text(_) | Self::Same(_) => Family::Major,
        }
    }
}

impl Wanted {
    /// The symbols it may get, in order of preference.
    pub(in crate::reharm) fn choices(&self) -> impl Iterator<Item = Chord> + '_ {
        let same = match &self.kind {
            WantedKind::Same(chord) => Some(chord.clone()),
            _ => None,
        };
        let endings = self.kind.endings().iter();
        let read = endings.filter_map(|ending| Chord::read(&format!("{}{ending}", self.root)).ok());
        same.into_iter().chain(read)
    }

    /// The symbol it gets where the melody asks for nothing.
    #[cfg(test)]
    pub(in crate::reharm) fn plainest(&self) -> String {
        match &self.kind {
            WantedKind::Same(chord) => chord.symbol().to_owned(),
            kind => format!("{}{}", self.root, kind.endings()[0]),
        }
    }

    /// The bass it is written over, if another than its root.
    pub(super) fn bass(&self) -> Option<Name> {
        match &self.kind {
            WantedKind::Same(chord) => chord.bass(),
            _ => None,
        }
    }

    /// The same, where the melody may only have these sounds over it.
    pub(super) fn only(self, only: &'static [u8]) -> Self {
        Self {
            root: self.root,
            kind: self.kind,
            beats: self.beats,
            only: Some(only),
        }
    }
}

/// A chord on this root, by its everyday name in the key.
pub(super) fn on(root: Name, kind: WantedKind, key: Option<Key>, beats: Beats) -> Wanted {
    let root = match key {
        Some(key) => {
            let root = enharmonic::root(root, kind.family(), key);
            match kind {
                WantedKind::Minor | WantedKind::HalfDiminished => enharmonic::second(root),
                _ => root,
            }
        }
        None if root.alter().abs() > 1 || root.simplest().alter() == 0 => root.simplest(),
        None => root,
    };
    exactly(root, kind, beats)
}

/// A chord that comes alone among the chords of the key, as one that slides down a half step does:
/// no Cb or Fb where the key doesn't ask for it.
pub(super) fn alone(root: Name, kind: WantedKind, key: Option<Key>, beats: Beats) -> Wanted {
    match key {
        Some(key) => {
            let root = enharmonic::lone_root(root, kind.family(), key);
            exactly(root, kind, beats)
        }
        None => on(root, kind, key, beats),
    }
}

/// A diminished seventh on a raised root, which keeps its sharp while one will do: it rises. E# and B# go by
/// their everyday names.
pub(super) fn rising(root: Name, key: Option<Key>, beats: Beats) -> Wanted {
    match root.alter().abs() < 2 && root.simplest().alter() != 0 {
        true => exactly(root, WantedKind::Diminished, beats),
        false => on(root, WantedKind::Diminished, key, beats),
    }
}

/// A chord on this root, called just so.
pub(super) fn exactly(root: Name, kind: WantedKind, beats: Beats) -> Wanted {
    Wanted {
        root,
        kind,
        beats,
        only: None,
    }
}

/// A chord that stays.
pub(super) fn same(chord: &Chord, beats: Beats) -> Wanted {
    exactly(chord.root(), WantedKind::Same(chord.clone()), beats)
}

/// A name some letters and half steps higher; where it has none, the name itself.
pub(super) fn higher(name: Name, steps: i32, semitones: i32) -> Name {
    let higher = name.plus(Interval::new(steps, Semitones(semitones)));
    higher.unwrap_or(name)
}

/// A length in two parts of whole beats, the longer one first: 4 as 2 and 2, 3 as 2 and 1.
///
/// `None` for less than two beats, or a fraction.
pub(super) fn halves(beats: Beats) -> Option<(Beats, Beats)> {
    let whole = (beats.denominator() == 1).then(|| beats.numerator())?;
    let second = whole / 2;
    (second > 0).then(|| (Beats::whole(whole - second), Beats::whole(second)))
}

/// One chord for a whole range of spots.
pub(super) fn whole(passage: &Passage<'_>, spots: Range<usize>, chord: Wanted) -> Idea {
    let beats = passage.beats(spots.clone());
    Idea {
        spots,
        chords: vec![Wanted { beats, ..chord }],
        reason: String::new(),
    }
}

/// Two chords that share a range of spots.
///
/// Spots over more than one bar are parted at a bar line where that halves them.
pub(super) fn shared(
    passage: &Passage<'_>,
    spots: Range<usize>,
    first: Wanted,
    second: Wanted,
) -> Option<Idea> {
    let (long, short) = halves(passage.beats(spots.clone()))?;
    let first = Wanted {
        beats: long,
        ..first
    };
    let second = Wanted {
        beats: short,
        ..second
    };
    Some(Idea {
        spots,
        chords: vec![first, second],
        reason: String::new(),
    })
}

/// The spot's chord for its first half, then another one that leads on.
pub(super) fn led_on(at: usize, spot: &Spot<'_>, second: Wanted) -> Option<Idea> {
    let (long, short) = halves(spot.beats)?;
    Some(Idea {
        spots: at..at + 1,
        chords: vec![
            same(spot.chord, long),
            Wanted {
                beats: short,
                ..second
            },
        ],
        reason: String::new(),
    })
}

impl Idea {
    /// The idea with its reason.
    pub(super) fn because(self, reason: String) -> Self {
        Self { reason, ..self }
    }
}

/// What is written after a chord's root, where a bass can be written after that: after a slash or alterations
/// nobody would read it.
pub(super) fn ending(chord: &Chord) -> Option<&str> {
    let ending = chord.symbol().strip_prefix(&chord.root().to_string())?;
    (!ending.contains('/') && !chord.is_altered()).then_some(ending)
}

/// A chord over another bass, both called by their everyday names in the key.
pub(super) fn over(
    root: Name,
    ending: &str,
    bass: Name,
    key: Option<Key>,
    beats: Beats,
) -> Option<Wanted> {
    let upper = on(root, WantedKind::Major, key, beats);
    // The b7 of Cb9 is Bbb: where that is called A, its bass is called B.
    let bass = match bass.alter().abs() < 2 && upper.root == root {
        true => bass,
        false => bass.simplest(),
    };
    let chord = Chord::read(&format!("{}{ending}/{bass}", upper.root)).ok()?;
    Some(Wanted {
        kind: WantedKind::Same(chord),
        ..upper
    })
}

/// A length of four equal parts of whole beats: one of the parts.
pub(super) fn quarter(beats: Beats) -> Option<Beats> {
    let whole = beats.denominator() == 1 && beats.numerator() % 4 == 0;
    whole.then(|| Beats::whole(beats.numerator() / 4))
}
