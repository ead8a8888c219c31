//! What harmony sees of a chord: its root and what kind it is.

use crate::chord::{Chord, Family, Tone};
use crate::pitch::{Degree, PitchClass};

/// The kind of a chord, as far as its function asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum ChordKind {
    /// A major triad and nothing above it: a tonic, or a dominant without its seventh.
    Triad,
    /// A major chord with a sixth or a ninth.
    Major,
    /// A major chord with a major seventh.
    MajorSeventh,
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

/// A chord as harmony sees it: no more than its root and its kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) struct RootAndKind {
    /// The root's pitch class, 0 to 11.
    pub root: u8,
    pub kind: ChordKind,
}

impl RootAndKind {
    pub fn of(chord: &Chord) -> Self {
        Self {
            root: chord.root().class().number(),
            kind: ChordKind::of(chord),
        }
    }

    /// The chord as a cadence hears it: over a fourth below its root, a minor chord is the suspended dominant
    /// on its bass (Dm7/G is G9sus), and over a whole step above it a major chord is (F/G): common practice.
    pub fn over_bass(self, chord: &Chord) -> Self {
        let bass = chord.bass().map_or(self.root, |bass| bass.class().number());
        let up = (12 + bass - self.root) % 12;
        match (self.kind, up) {
            (ChordKind::Minor, 5)
            | (ChordKind::Triad | ChordKind::Major | ChordKind::MajorSeventh, 2) => Self {
                root: bass,
                kind: ChordKind::Dominant,
            },
            _ => self,
        }
    }

    /// Semitones up from this root to the other's, 0 to 11.
    pub const fn up_to(self, other: Self) -> u8 {
        (12 + other.root - self.root) % 12
    }

    pub fn is_dominant(self) -> bool {
        self.kind == ChordKind::Dominant
    }
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

impl ChordKind {
    /// How many there are.
    pub const COUNT: usize = 10;

    fn of(chord: &Chord) -> Self {
        let flat_seventh = |chord: &Chord| chord.seventh().is_some_and(|s| s.class() == 10);
        let minor_third = |chord: &Chord| chord.third() == Some(Degree::MINOR_THIRD);
        match chord.family() {
            Family::Dominant => Self::Dominant,
            _ if flat_seventh(chord) && !minor_third(chord) => Self::Dominant,
            Family::Major if is_plain(chord) => Self::Triad,
            Family::Major if chord.seventh() == Some(Degree::SEVENTH) => Self::MajorSeventh,
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

/// Whether a chord has nothing but root, third and fifth.
fn is_plain(chord: &Chord) -> bool {
    let basic = [chord.third(), chord.fifth()];
    let degrees = chord.tones().iter().map(|tone| tone.degree);
    degrees
        .filter(|degree| degree.number() > 1)
        .all(|degree| basic.contains(&Some(degree)))
}
