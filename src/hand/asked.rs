//! What a chord asks of a hand, worked out once so that many voicings can be held against it.
//!
//! Degrees are compared by their class, the semitones above the root within one octave: a 9 that a
//! hand plays as a 2 is still the 9.

use crate::chord::{Chord, Family};
use crate::pitch::{Degree, Name};

/// Set of classes 0 to 11 as bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Classes(u16);

impl Classes {
    pub(super) fn of(degrees: impl IntoIterator<Item = Degree>) -> Self {
        Self(degrees.into_iter().fold(0, |bits, d| bits | 1 << d.class()))
    }

    pub(super) const fn holds(self, degree: Degree) -> bool {
        self.0 & (1 << degree.class()) != 0
    }

    pub(super) const fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

/// A chord's demands: root, frame, what it names, what it avoids.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Asked {
    pub(super) root: Name,
    pub(super) family: Family,
    pub(super) third: Option<Degree>,
    pub(super) fifth: Option<Degree>,
    pub(super) seventh: Option<Degree>,
    /// Named tones beyond third and seventh.
    pub(super) named: Vec<Degree>,
    /// Third and seventh, or what stands for them.
    pub(super) frame: Classes,
    pub(super) names: Classes,
    pub(super) avoid: Classes,
}

impl Asked {
    /// The demands of a chord.
    pub(crate) fn of(chord: &Chord) -> Self {
        let (third, seventh) = (chord.third(), chord.seventh());
        let frame = [third, seventh];
        let named = chord
            .tones()
            .iter()
            .filter(|tone| tone.named && !frame.contains(&Some(tone.degree)))
            .map(|tone| tone.degree)
            .collect::<Vec<_>>();
        Self {
            root: chord.root(),
            family: chord.family(),
            third,
            fifth: chord.fifth(),
            seventh,
            frame: Classes::of(frame.into_iter().flatten()),
            names: Classes::of(named.iter().copied()),
            avoid: Classes::of(chord.avoid()),
            named,
        }
    }

    /// Whether the flat ninth may stand over the root: dominants, suspended or not.
    pub(super) fn takes_flat_ninth(&self) -> bool {
        let flat_seventh = self.seventh.is_some_and(|seventh| seventh.class() == 10);
        match self.family {
            Family::Dominant => true,
            Family::Suspended => flat_seventh,
            _ => false,
        }
    }
}
