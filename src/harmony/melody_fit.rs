//! What the notes of the melody are over a chord, and whether they fit it.
//!
//! A melody note over a new chord must be a chord tone or an extension, an altered tension, or a plain
//! non-chord tone ("Chord substitution" handout, docslib 7593323). A note that is held must be one of
//! the first two, and a new chord's tone a minor ninth under it is refused (common reharmonising rule;
//! the b9 of a dominant over its root, and b13 over a 5 that can be left out, are the exceptions, from
//! memory). Which sounds a chord takes is said in `membership`, and which notes are held in
//! `non_chord_tone`.

use super::blues::is_blue_third;
use super::chord_time::ChordTime;
use super::membership::{Membership, degree_over, membership};
use super::non_chord_tone::is_held;
use super::passage::Spot;
use crate::chart::MelodyNote;
use crate::chord::Chord;
use crate::pitch::{Degree, Key};

/// What a melody note is over a chord.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// A tone the symbol asks for, or its bass.
    ChordTone,
    /// An extension the chord takes.
    Tension,
    /// A b9, #9 or b13 over a dominant.
    Altered,
    /// The minor third over the I7 or IV7 of a blues.
    BlueThird,
    /// None of these, but it goes by.
    Passing,
    /// None of these, and held.
    Misfit(Misfit),
}

/// Why a melody note does not fit a chord. Its `Display`, in `explain`, says it in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Misfit {
    /// It is neither in the chord nor one of its tensions.
    Foreign(Degree),
    /// A tone of the new chord lies a minor ninth under it.
    MinorNinth {
        /// The chord's tone.
        under: Degree,
        /// The melody's note.
        note: Degree,
    },
    /// The chord could take it, but not where the technique puts the chord.
    NotHere(Degree),
}

/// A melody note and what becomes of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MelodyFit {
    /// The written bar, counted from 1.
    pub bar: usize,
    /// The note.
    pub note: MelodyNote,
    /// What it is over the written chord.
    pub before: Degree,
    /// What it is over the chord in question.
    pub after: Degree,
    /// Whether it fits that chord.
    pub fit: Fit,
}

impl MelodyFit {
    /// Whether the note does not fit.
    pub const fn is_misfit(&self) -> bool {
        matches!(self.fit, Fit::Misfit(_))
    }
}

/// What a melody note is over a chord that is written where it sounds.
///
/// The key of the region decides the sounds that are taken only in some places (a #11 over a major
/// seventh chord, a 13 over a minor seventh, a 9 over a half-diminished): those of the key are. It also
/// says which dominants are the I7 and IV7 of a blues.
///
/// ```
/// use compline::chart::{Beats, MelodyNote};
/// use compline::chord::Chord;
/// use compline::harmony::{Fit, ChordTime, fit};
///
/// let whole = Beats::whole;
/// let bar = ChordTime { beat: whole(1), beats: whole(4), bar_beats: whole(4) };
/// let beside = [None; 2];
/// let note = MelodyNote { note: "F4".parse().unwrap(), beat: whole(1), beats: whole(4), tied: false, beside };
/// let over = |symbol| fit(&Chord::read(symbol).unwrap(), None, &note, bar);
/// assert_eq!(over("Dm7"), Fit::ChordTone);
/// assert_eq!(over("Ebmaj7"), Fit::Tension);
/// assert!(matches!(over("Cmaj7"), Fit::Misfit(_)));
/// ```
pub fn fit(chord: &Chord, key: Option<Key>, note: &MelodyNote, time: ChordTime) -> Fit {
    let class = note.note.name().class();
    match membership(chord, key, class) {
        Some(Membership::Tone) => Fit::ChordTone,
        _ if is_blue_third(chord, key, class) => Fit::BlueThird,
        member => beyond(chord, member, note, time),
    }
}

pub(super) fn beyond(
    chord: &Chord,
    member: Option<Membership>,
    note: &MelodyNote,
    time: ChordTime,
) -> Fit {
    match member {
        Some(Membership::Tone) => Fit::ChordTone,
        Some(Membership::Tension) => Fit::Tension,
        Some(Membership::Altered) => Fit::Altered,
        None if is_held(chord, note, time) => Fit::Misfit(Misfit::Foreign(degree_over(
            chord,
            note.note.name().class(),
        ))),
        None => Fit::Passing,
    }
}

/// The melody over the written chord: every note that sounds in the spot, once.
///
/// A misfit is a note that the written symbol has no place for.
pub fn melody_fit(spot: &Spot<'_>) -> Vec<MelodyFit> {
    let of = |note: &MelodyNote| {
        let degree = degree_over(spot.chord, note.note.name().class());
        MelodyFit {
            bar: spot.bar,
            note: *note,
            before: degree,
            after: degree,
            fit: fit(spot.chord, spot.key, note, ChordTime::of(spot)),
        }
    };
    spot.melody_notes.iter().map(of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::harmony::tests::sung::{note, time as bar};

    #[test]
    fn a_blue_third_fits_the_one_and_the_four_of_a_blues() {
        let held = note("Ab4", "1", "4");
        let over = |symbol: &str, key: &str| {
            let chord = Chord::read(symbol).unwrap();
            fit(&chord, key.parse().ok(), &held, bar(1, 4, 4))
        };
        for (symbol, key) in [("F7", "F"), ("F13", "F"), ("F9", "C"), ("F13", "Cm")] {
            assert_eq!(over(symbol, key), Fit::BlueThird, "{symbol} in {key}");
        }
        assert_eq!(over("F7#9", "F"), Fit::ChordTone);
        assert_eq!(over("F7", "Bb"), Fit::Altered);
        assert!(matches!(over("F13", "Bb"), Fit::Misfit(_)));
        assert!(matches!(over("Fmaj7", "F"), Fit::Misfit(_)));
    }
}
