//! Chords by their numerals: what stands on a degree of a key.

use super::idea::{Wanted, WantedKind, alone, higher, on};
use crate::chart::Beats;
use crate::chord::Chord;
use crate::harmony::passage::above_tonic;
use crate::pitch::Key;

/// A chord of a key: its numeral, how far its root lies above the tonic, and what it is there.
#[derive(Debug)]
pub(super) struct RomanNumeral {
    /// As it is called: `bVI`.
    pub numeral: &'static str,
    letters: i32,
    semitones: i32,
    kind: WantedKind,
    /// Whether it comes alone, so that its root goes by its everyday name: E7 in Db, not Fb7.
    lone: bool,
}

/// A chord so many letters and half steps above the tonic.
pub(super) const fn roman(
    numeral: &'static str,
    letters: i32,
    semitones: i32,
    kind: WantedKind,
) -> RomanNumeral {
    RomanNumeral {
        numeral,
        letters,
        semitones,
        kind,
        lone: false,
    }
}

/// The same for one that comes alone among the chords of the key.
pub(super) const fn lone(
    numeral: &'static str,
    letters: i32,
    semitones: i32,
    kind: WantedKind,
) -> RomanNumeral {
    let mut lone = roman(numeral, letters, semitones, kind);
    lone.lone = true;
    lone
}

impl RomanNumeral {
    /// The chord in a key.
    pub(super) fn of(&self, key: Key, beats: Beats) -> Wanted {
        let root = higher(key.tonic(), self.letters, self.semitones);
        let named = if self.lone { alone } else { on };
        named(root, self.kind.clone(), Some(key), beats)
    }

    /// How many half steps its root lies above the tonic, 0 to 11.
    pub(super) const fn above(&self) -> i32 {
        self.semitones
    }

    /// Whether a chord stands there in the key, over its own root.
    pub(super) fn is(&self, key: Key, chord: &Chord) -> bool {
        let here = above_tonic(key, chord) == self.semitones;
        here && chord.family() == self.kind.family() && chord.bass().is_none()
    }
}
