//! The eight families a player sorts chords into.

use serde::Serialize;

use super::Tone;
use super::tone::{fifth, seventh, third};

/// What a chord is to a player, whatever it is coloured with.
///
/// ```
/// # use compline::chord::{Chord, Family};
/// assert_eq!(Chord::read("Bb13(#11)").unwrap().family(), Family::Dominant);
/// assert_eq!(Chord::read("C11").unwrap().family(), Family::Suspended);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Family {
    /// A major third and no flat seventh: triads, sixths, major sevenths.
    Major,
    /// A minor third under a natural or raised fifth, with whatever seventh.
    Minor,
    /// A major third and a flat seventh; also a triad with b9, #9 or b13, which only dominants take.
    Dominant,
    /// A fourth or a second in the third's place.
    Suspended,
    /// b3, b5 and b7.
    HalfDiminished,
    /// b3 and b5 without b7: the triad, the diminished seventh, the major seventh over it.
    Diminished,
    /// A major third and #5 without b7.
    Augmented,
    /// No third at all.
    Power,
}

impl Family {
    /// The family of a set of tones.
    pub(super) fn of(tones: &[Tone]) -> Self {
        match third(tones).map(|degree| (degree.number(), degree.alter())) {
            None => Self::Power,
            Some((3, -1)) => Self::of_minor_third(tones),
            Some((3, _)) => Self::of_major_third(tones),
            Some(_) => Self::Suspended,
        }
    }

    fn of_minor_third(tones: &[Tone]) -> Self {
        let flat_fifth = fifth(tones).is_some_and(|degree| degree.alter() == -1);
        match (flat_fifth, seventh(tones).map(|d| (d.number(), d.alter()))) {
            (false, _) => Self::Minor,
            (true, Some((7, -1))) => Self::HalfDiminished,
            (true, _) => Self::Diminished,
        }
    }

    fn of_major_third(tones: &[Tone]) -> Self {
        let altered_tension = tones.iter().any(|tone| {
            matches!(
                (tone.degree.number(), tone.degree.alter()),
                (9, -1 | 1) | (13, -1)
            )
        });
        match seventh(tones).map(|d| (d.number(), d.alter())) {
            Some((7, -1)) => Self::Dominant,
            None if altered_tension => Self::Dominant,
            _ if fifth(tones).is_some_and(|degree| degree.alter() == 1) => Self::Augmented,
            _ => Self::Major,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Family::{self, *};
    use crate::chord::Chord;

    #[test]
    fn every_family_has_its_members() {
        let members: [(Family, &[&str]); 8] = [
            (
                Major,
                &[
                    "C", "C6", "C6/9", "Cmaj7", "Cadd9", "C(#11)", "Cmaj7b5", "C6(b9)",
                ],
            ),
            (
                Minor,
                &["Cm", "Cm6", "CmMaj7", "Cm7", "Cm11", "Cm7#5", "C5(b3)"],
            ),
            (
                Dominant,
                &[
                    "C7", "C9", "C7b5", "C7#5", "C7alt", "C(b9)", "C(#9)", "C(b13)", "C+7",
                ],
            ),
            (
                Suspended,
                &["Csus", "Csus2", "C7sus", "C11", "Cmaj7sus", "C7sus(add3)"],
            ),
            (HalfDiminished, &["Cø", "Cm7b5", "Cm9b5", "Cdim(b7)"]),
            (Diminished, &["Cdim", "C°7", "Cdim(maj7)", "Cm(b5)"]),
            (Augmented, &["C+", "Cmaj7#5", "C6(#5)"]),
            (Power, &["C5", "Cno3", "Cmaj9(no3)", "C5(b7)"]),
        ];
        for (family, symbols) in members {
            for symbol in symbols {
                assert_eq!(Chord::read(symbol).unwrap().family(), family, "{symbol}");
            }
        }
    }
}
