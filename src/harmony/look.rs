//! What harmony sees of a chord: its root and what kind it is.

use crate::chord::{Chord, Family, Tone};
use crate::pitch::{Degree, PitchClass};

/// The kind of a chord, as far as its function asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Kind {
    /// A major triad and nothing above it: a tonic, or a dominant without its seventh.
    Triad,
    /// A major chord with a sixth, a major seventh or a ninth.
    Major,
    /// A major third or a suspended fourth with a flat seventh.
    Dominant,
    /// A suspended chord without a flat seventh.
    Suspended,
    /// A minor chord.
    Minor,
    HalfDiminished,
    Diminished,
    /// A major third and a raised fifth, without a flat seventh.
    Augmented,
    /// No third.
    Power,
}

/// A chord as harmony sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Look {
    /// The root's pitch class, 0 to 11.
    pub root: u8,
    pub kind: Kind,
}

impl Look {
    pub fn of(chord: &Chord) -> Self {
        Self {
            root: chord.root().class().number(),
            kind: Kind::of(chord),
        }
    }

    /// Semitones up from this root to the other's, 0 to 11.
    pub const fn up_to(self, other: Self) -> u8 {
        (12 + other.root - self.root) % 12
    }

    pub fn is_dominant(self) -> bool {
        self.kind == Kind::Dominant
    }
}

/// Whether harmony takes a chord for a dominant, a suspended one included.
pub(crate) fn is_dominant(chord: &Chord) -> bool {
    Look::of(chord).is_dominant()
}

/// The pitch class a chord stands on: its root, or a bass a second or a fourth above the root that is
/// no tone of it. F/G stands on G and G/C on C; C/B is still a C.
pub(crate) fn ground(chord: &Chord) -> PitchClass {
    let root = chord.root().class();
    let foreign = |bass: &PitchClass| {
        let above = root.up_to(*bass).0;
        let is_tone = |tone: &Tone| i32::from(tone.degree.class()) == above;
        matches!(above, 2 | 5) && !chord.tones().iter().any(is_tone)
    };
    let bass = chord.bass().map(|bass| bass.class());
    bass.filter(foreign).unwrap_or(root)
}

impl Kind {
    fn of(chord: &Chord) -> Self {
        let flat_seventh = chord.seventh().is_some_and(|seventh| seventh.class() == 10);
        let minor_third = chord.third() == Some(Degree::MINOR_THIRD);
        match chord.family() {
            _ if flat_seventh && !minor_third => Self::Dominant,
            Family::Dominant => Self::Dominant,
            Family::Major if chord.seventh().is_none() && chord.extensions().is_empty() => {
                Self::Triad
            }
            Family::Major => Self::Major,
            Family::Suspended => Self::Suspended,
            Family::Minor => Self::Minor,
            Family::HalfDiminished => Self::HalfDiminished,
            Family::Diminished => Self::Diminished,
            Family::Augmented => Self::Augmented,
            Family::Power => Self::Power,
        }
    }
}
