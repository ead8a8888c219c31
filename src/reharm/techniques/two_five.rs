//! The ii and the V that lead to a chord.

use super::idea::{Wanted, WantedKind, alone, higher, on};
use crate::chart::Beats;
use crate::chord::Chord;
use crate::harmony::passage::{above_tonic, is_diatonic, is_minor};
use crate::pitch::{Key, Mode, Name, Semitones};

/// A chord that a ii-V may lead to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Goal {
    /// Its root.
    pub root: Name,
    /// Whether it has a minor third.
    pub minor: bool,
}

impl Goal {
    /// A chord over its own root on a degree of the key, with a third that is the key's.
    pub(super) fn of(key: Key, chord: &Chord) -> Option<Self> {
        let root = chord.root();
        let third = chord.third()?;
        let degrees: &[(i32, i32)] = match key.mode() {
            Mode::Major => &[(0, 4), (2, 3), (4, 3), (5, 4), (7, 4), (9, 3)],
            Mode::Minor => &[(0, 3), (3, 4), (5, 3), (7, 4), (8, 4), (10, 4)],
        };
        let at = (above_tonic(key, chord), i32::from(third.class()));
        let firm = chord.bass().is_none() && chord.fifth().is_none_or(|fifth| fifth.class() == 7);
        (firm && degrees.contains(&at)).then(|| Self {
            root,
            minor: is_minor(chord),
        })
    }

    /// The ii of this goal, as a goal itself: always minor.
    pub(super) fn second(self) -> Self {
        Self {
            root: higher(self.root, 1, 2),
            minor: true,
        }
    }
}

/// What the melody may have over a ii that is a minor seventh chord: all its sounds but the 13, which is the third
/// of the V and would be heard before it (common practice, no source).
const OVER_TWO: &[u8] = &[0, 2, 3, 5, 7, 10];

/// The ii before a V.
pub(super) fn second(root: Name, kind: WantedKind, key: Option<Key>, beats: Beats) -> Wanted {
    let minor = matches!(kind, WantedKind::Minor);
    let ii = on(root, kind, key, beats);
    if minor { ii.only(OVER_TWO) } else { ii }
}

/// The ii and the V of a goal, each so long.
///
/// The ii is half-diminished on the way to a minor chord, unless a major key has a minor seventh there,
/// as on its iii and vi; in a minor key also where its fifth is, as before V.
pub(super) fn two_five(key: Key, goal: Goal, beats: [Beats; 2]) -> [Wanted; 2] {
    let ii = higher(goal.root, 1, 2);
    let own_fifth = is_diatonic(key, ii.class().plus(Semitones(7)));
    let major = key.mode() == Mode::Major;
    let minor_ii = match goal.minor {
        true => major && own_fifth,
        false => major || own_fifth,
    };
    let kind = match minor_ii {
        true => WantedKind::Minor,
        false => WantedKind::HalfDiminished,
    };
    let five = higher(goal.root, 4, 7);
    [
        second(ii, kind, Some(key), beats[0]),
        on(five, WantedKind::Dominant, Some(key), beats[1]),
    ]
}

/// The ii-V of the key a half step above a goal, each so long.
pub(super) fn half_step_above(key: Key, goal: Goal, beats: [Beats; 2]) -> [Wanted; 2] {
    [
        alone(
            higher(goal.root, 1, 1),
            WantedKind::Minor,
            Some(key),
            beats[0],
        ),
        alone(
            higher(goal.root, 4, 6),
            WantedKind::Dominant,
            Some(key),
            beats[1],
        ),
    ]
}
