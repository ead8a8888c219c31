//! The key that holds at a chord, as arithmetic: a tonic's pitch class and a mode.

use crate::pitch::{Key, Mode};

use super::chord_kind::{ChordKind, RootAndKind};

/// A key without its spelling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) struct LocalKey {
    pub tonic: u8,
    pub minor: bool,
}

impl LocalKey {
    /// How many there are.
    pub const COUNT: usize = 24;

    /// The key at a place in the order C, Cm, Db, Dbm, and so on.
    pub const fn at(index: usize) -> Self {
        Self {
            tonic: (index / 2 % 12) as u8,
            minor: index % 2 == 1,
        }
    }

    pub fn of(key: Key) -> Self {
        Self {
            tonic: key.tonic().class().number(),
            minor: key.mode() == Mode::Minor,
        }
    }

    pub const fn mode(self) -> Mode {
        if self.minor { Mode::Minor } else { Mode::Major }
    }

    /// Semitones from the tonic up to the chord's root.
    pub const fn degree(self, chord: RootAndKind) -> u8 {
        (12 + chord.root - self.tonic) % 12
    }

    /// Whether a chord of the key stands on this degree, with a minor third or a major one. The V of
    /// a minor key is both.
    pub fn has(self, degree: u8, minor_third: bool) -> bool {
        let degrees: &[u8] = match (self.minor, minor_third) {
            (false, false) => &[0, 5, 7],
            (false, true) => &[2, 4, 9],
            (true, false) => &[3, 7, 8, 10],
            (true, true) => &[0, 5, 7],
        };
        degrees.contains(&degree)
    }

    /// Whether the chord is the tonic, at rest or not: a minor chord in minor, a major chord without
    /// a flat seventh in major.
    pub fn is_tonic(self, chord: RootAndKind) -> bool {
        let kind = match self.minor {
            true => chord.kind == ChordKind::Minor,
            false => matches!(
                chord.kind,
                ChordKind::Triad | ChordKind::Major | ChordKind::MajorSeventh
            ),
        };
        kind && chord.root == self.tonic
    }
}
