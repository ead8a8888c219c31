//! The tensions a chord can take and the notes to avoid, seen on its own.
//!
//! The rule: a tension is available when it lies a whole step above a chord tone; a half step above
//! is a note to avoid (Nettles, *Harmony 3*, p. 15, as quoted; the book itself was not opened).
//! Without a key the scale a chord belongs to is its family's usual one, so the rule is applied to a
//! table: for each family what its usual scale offers (below), struck out where the symbol's own
//! alterations put it a half step above a tone or replace it.
//!
//! | family | offers | avoids | usual scale and source |
//! |---|---|---|---|
//! | major | 9 #11 13 | 11 | Ionian avoids 4, Lydian offers #11 (Berklee HARM 121 sheet, 2008) |
//! | minor | 9 11, with a major seventh also 13 | | Dorian, melodic minor (the same sheet) |
//! | dominant | 9 13 | 11 | Mixolydian (the same sheet) |
//! | dominant, #5 | 9 #11 | | whole-tone; from memory |
//! | dominant, alt | b9 #9 #11 b13 | | altered scale; from memory |
//! | suspended | 9 13 | | Mixolydian; from memory |
//! | half-diminished | 11 b13 | b9 | Locrian (the same sheet); a 9 is possible, from memory |
//! | diminished | 9 11 b13, of the seventh also 7 | | every whole step above a tone; from memory |
//! | augmented | 9 #11 | | Lydian augmented; from memory |
//! | power | | | no third, so no scale |
//!
//! A natural 13 over a minor seventh is neither offered nor forbidden: it is no half step above a
//! tone, but makes the tritone of another dominant (HARM 121 calls it conditional).

use super::{Chord, Family};
use crate::pitch::Degree;

/// What `alt` leaves to the player.
pub(super) const ALTERED: [Degree; 4] = [
    Degree::FLAT_NINTH,
    Degree::SHARP_NINTH,
    Degree::SHARP_ELEVENTH,
    Degree::FLAT_THIRTEENTH,
];

impl Chord {
    /// What the chord can take beyond its tones, seen on its own, without a key. `alt` lists the
    /// four it leaves to choose from.
    pub fn tensions(&self) -> Vec<Degree> {
        if self.altered {
            return ALTERED.to_vec();
        }
        usual(self)
            .iter()
            .copied()
            .filter(|&tension| !is_written(self, tension) && !clashes(self, tension))
            .collect()
    }

    /// Notes of the chord's usual scale that lie a half step above a chord tone, unless they are
    /// written.
    pub fn avoid(&self) -> Vec<Degree> {
        let candidates: &[Degree] = match self.family {
            Family::Major | Family::Dominant => &[Degree::ELEVENTH],
            Family::HalfDiminished => &[Degree::FLAT_NINTH],
            _ => &[],
        };
        let avoided = candidates.iter().copied();
        avoided
            .filter(|&note| clashes(self, note) && !is_written(self, note) && in_scale(self, note))
            .collect()
    }
}

fn usual(chord: &Chord) -> &'static [Degree] {
    let seventh = chord.seventh();
    let raised_fifth = chord.fifth().is_some_and(|fifth| fifth.alter() == 1);
    match chord.family {
        Family::Major => &[Degree::NINTH, Degree::SHARP_ELEVENTH, Degree::THIRTEENTH],
        Family::Minor if seventh == Some(Degree::SEVENTH) => {
            &[Degree::NINTH, Degree::ELEVENTH, Degree::THIRTEENTH]
        }
        Family::Minor => &[Degree::NINTH, Degree::ELEVENTH],
        Family::Dominant if raised_fifth => &[Degree::NINTH, Degree::SHARP_ELEVENTH],
        Family::Dominant | Family::Suspended => &[Degree::NINTH, Degree::THIRTEENTH],
        Family::HalfDiminished => &[Degree::ELEVENTH, Degree::FLAT_THIRTEENTH],
        Family::Diminished if seventh == Some(Degree::DOUBLE_FLAT_SEVENTH) => &[
            Degree::SEVENTH,
            Degree::NINTH,
            Degree::ELEVENTH,
            Degree::FLAT_THIRTEENTH,
        ],
        Family::Diminished => &[Degree::NINTH, Degree::ELEVENTH, Degree::FLAT_THIRTEENTH],
        Family::Augmented => &[Degree::NINTH, Degree::SHARP_ELEVENTH],
        Family::Power => &[],
    }
}

/// Whether the key of the piano is a tone already, or the symbol has another tension of that number.
fn is_written(chord: &Chord, tension: Degree) -> bool {
    chord.tones.iter().any(|tone| {
        let same_number = tension.number() > 7 && tone.degree.number() == tension.number();
        same_number || tone.degree.class() == tension.class()
    })
}

/// Whether a tone lies a half step below. The flat ninth of a dominant is not tested: it is never
/// offered unless `alt` is written.
fn clashes(chord: &Chord, note: Degree) -> bool {
    chord
        .tones
        .iter()
        .any(|tone| (tone.degree.class() + 1) % 12 == note.class())
}

/// A raised eleventh or an altered fifth takes the natural fourth out of the scale.
fn in_scale(chord: &Chord, note: Degree) -> bool {
    note != Degree::ELEVENTH || chord.fifth().is_none_or(|fifth| fifth.alter() == 0)
}

#[cfg(test)]
mod tests {
    use crate::chord::Chord;
    use crate::pitch::Degree;

    fn line(degrees: Vec<Degree>) -> String {
        let texts: Vec<String> = degrees.iter().map(Degree::to_string).collect();
        texts.join(" ")
    }

    #[test]
    fn the_published_table_is_reproduced() {
        for (symbol, tensions, avoid) in [
            ("Cmaj7", "9 #11 13", "11"),
            ("C6", "9 #11", "11"),
            ("C", "9 #11 13", "11"),
            ("Dm7", "9 11", ""),
            ("G7", "9 13", "11"),
            ("Bm7b5", "11 b13", "b9"),
            ("CmMaj7", "9 11 13", ""),
            ("Cm6", "9 11", ""),
            ("G7alt", "b9 #9 #11 b13", ""),
            ("Cdim7", "7 9 11 b13", ""),
            ("Cdim", "9 11 b13", ""),
            ("G7sus", "9 13", ""),
            ("G7#5", "9 #11", ""),
            ("Cmaj7#5", "9 #11", ""),
            ("C5", "", ""),
        ] {
            let chord = Chord::read(symbol).unwrap();
            assert_eq!(line(chord.tensions()), tensions, "{symbol}");
            assert_eq!(line(chord.avoid()), avoid, "{symbol}");
        }
    }

    #[test]
    fn what_is_written_is_not_offered_again_and_drives_out_its_neighbours() {
        for (symbol, tensions, avoid) in [
            ("G9", "13", "11"),
            ("G13", "", "11"),
            ("G7b9", "13", "11"),
            ("G7b13", "9", "11"),
            ("G7#11", "9 13", ""),
            ("G7b5", "9 13", ""),
            ("Cmaj9#11", "13", ""),
            ("Cmaj11", "13", ""),
            ("Bm9b5", "11 b13", ""),
        ] {
            let chord = Chord::read(symbol).unwrap();
            assert_eq!(line(chord.tensions()), tensions, "{symbol}");
            assert_eq!(line(chord.avoid()), avoid, "{symbol}");
        }
    }

    #[test]
    fn no_tension_lies_a_half_step_above_a_tone_unless_the_symbol_is_altered() {
        for symbol in [
            "C", "Cm9", "C13", "C7b9", "Cm7b5", "Cdim7", "C7sus", "C+", "CmMaj9",
        ] {
            let chord = Chord::read(symbol).unwrap();
            for tension in chord.tensions() {
                for tone in chord.tones() {
                    let above = (12 + tension.class() - tone.degree.class()) % 12;
                    assert!(above > 1, "{symbol}: {tension} over {}", tone.degree);
                }
            }
        }
    }
}
