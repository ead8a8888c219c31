//! Roughness by Hutchinson and Knopoff: the beating of all partials of a chord, pair by pair.
//!
//! W. Hutchinson and L. Knopoff, "The acoustic component of Western consonance", *Interface* 7 (1978).
//! The model, as the documentation and source of the R package dycon give it (the paper was not
//! opened):
//!
//! - every note sounds [`HARMONICS`] exact harmonics, the fundamental being the first, the nth of
//!   amplitude 1/n; fundamentals are equal-tempered, A4 = 440 Hz;
//! - two partials of amplitudes a and b that lie y critical bands apart add a·b·g(y), where the
//!   critical band is 1.72·f^0.65 Hz at their mean frequency f;
//! - g(y) = ((y/0.25)·exp(1 − y/0.25))², and 0 where y > 1.2 (Mashinter's fit, 2006, to Plomp and
//!   Levelt's data of 1965): roughest at a quarter of a critical band;
//! - the sum is divided by the sum of all squared amplitudes.
//!
//! Partials that coincide are kept apart: they do not beat, and their powers add. For the published
//! figures below it makes no difference, since no partials coincide in them.

use super::bandwidth::bandwidth;
use super::{Hertz, Thousandths};
use crate::pitch::Pitch;

/// How many harmonics a note sounds, the fundamental included.
const HARMONICS: u8 = 11;

/// How rough some notes sound together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Roughness {
    /// Of all notes, each note's own partials included: 0 is smooth.
    pub total: Thousandths,
    /// The two notes that add most to it; `None` for fewer than two notes.
    pub roughest: Option<Roughest>,
}

/// The two notes whose partials rub most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Roughest {
    /// The lower note.
    pub lower: Pitch,
    /// The upper note.
    pub upper: Pitch,
    /// The part of the total that the partials of one against those of the other make.
    pub share: Thousandths,
}

/// How rough these notes sound together, by Hutchinson and Knopoff: a second opinion, no verdict.
///
/// The notes may come in any order; the same key twice counts once. Of pairs that add equally much,
/// to a thousandth, the lowest is named. No notes are not rough.
///
/// ```
/// # use compline::hand::{key, roughness};
/// let notes = ["C4", "E4", "G4"].map(|note| key(note).unwrap());
/// let rough = roughness(&notes);
/// assert_eq!(rough.total.to_string(), "0.120");
/// let pair = rough.roughest.unwrap();
/// assert_eq!((pair.lower, pair.upper), (notes[1], notes[2]));
/// ```
pub fn roughness(notes: &[Pitch]) -> Roughness {
    rough(notes, HARMONICS)
}

fn rough(notes: &[Pitch], harmonics: u8) -> Roughness {
    let mut notes = notes.to_vec();
    notes.sort();
    notes.dedup();
    let tones: Vec<ComplexTone> = notes
        .into_iter()
        .map(|n| ComplexTone::of(n, harmonics))
        .collect();
    let power: f64 = tones.iter().map(ComplexTone::power).sum();
    if power == 0.0 {
        return Roughness {
            total: Thousandths::default(),
            roughest: None,
        };
    }
    let alone: f64 = tones.iter().map(ComplexTone::alone).sum();
    let pairs: Vec<_> = pairs(&tones).map(|(a, b)| (a, b, a.against(b))).collect();
    let together: f64 = pairs.iter().map(|(.., beating)| beating).sum();
    let shares = pairs.iter().map(|(a, b, beating)| Roughest {
        lower: a.pitch,
        upper: b.pitch,
        share: Thousandths::of(beating / power),
    });
    Roughness {
        total: Thousandths::of((alone + together) / power),
        // The last of equals is taken, so the lowest pair has to come last.
        roughest: shares.rev().max_by_key(|pair| pair.share),
    }
}

/// Every two of them once, in their order.
fn pairs<T>(all: &[T]) -> impl Iterator<Item = (&T, &T)> {
    let firsts = all.iter().enumerate();
    firsts.flat_map(|(at, a)| all.iter().skip(at + 1).map(move |b| (a, b)))
}

/// One sounding note.
struct ComplexTone {
    pitch: Pitch,
    partials: Vec<Partial>,
}

#[derive(Clone, Copy)]
struct Partial {
    frequency: Hertz,
    amplitude: f64,
}

impl ComplexTone {
    fn of(pitch: Pitch, harmonics: u8) -> Self {
        let fundamental = Hertz::of(pitch).0;
        let partials = (1..=harmonics).map(f64::from).map(|number| Partial {
            frequency: Hertz(fundamental * number),
            amplitude: 1.0 / number,
        });
        Self {
            pitch,
            partials: partials.collect(),
        }
    }

    fn power(&self) -> f64 {
        let squares = self.partials.iter().map(|p| p.amplitude * p.amplitude);
        squares.sum()
    }

    /// What its own partials make among themselves.
    fn alone(&self) -> f64 {
        pairs(&self.partials).map(|(a, b)| a.beats(*b)).sum()
    }

    /// What its partials make against another's.
    fn against(&self, other: &Self) -> f64 {
        let all = self.partials.iter();
        all.flat_map(|a| other.partials.iter().map(|b| a.beats(*b)))
            .sum()
    }
}

impl Partial {
    fn beats(self, other: Self) -> f64 {
        let apart = self.frequency.apart(other.frequency);
        let y = apart / bandwidth(self.frequency.mean(other.frequency));
        self.amplitude * other.amplitude * dissonance(y)
    }
}

/// How much two equal tones `y` critical bands apart rub: 1 at most.
fn dissonance(y: f64) -> f64 {
    if y > 1.2 {
        return 0.0;
    }
    let root = y / 0.25 * (1.0 - y / 0.25).exp();
    root * root
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn keys(midi: &[u8]) -> Vec<Pitch> {
        let keys = midi.iter().map(|midi| Pitch::new(*midi).unwrap());
        keys.collect()
    }

    fn of(midi: &[u8]) -> String {
        roughness(&keys(midi)).total.to_string()
    }

    /// The figures of the tests of the R package dycon, as read there; 0.25 follows from the formula.
    #[test]
    fn dycons_critical_band_and_curve() {
        let close = |value: f64, published: f64, half: f64| (value - published).abs() <= half;
        let band = |a, b| bandwidth(Hertz(a).mean(Hertz(b)));
        assert!(close(band(400.0, 440.0), 87.225, 5e-4));
        assert!(close(band(400.0, 380.0), 83.123, 5e-4));
        assert_eq!(dissonance(0.25), 1.0);
        assert!(close(dissonance(0.5), 0.5413, 5e-5));
        assert!(close(dissonance(1.0), 0.0397, 5e-5));
        assert_eq!(dissonance(1.5), 0.0, "cut off");
    }

    /// Pure tones, as read in the tests of dycon.
    #[test]
    fn dycons_pure_tones() {
        let pure = |midi: &[u8]| rough(&keys(midi), 1).total.to_string();
        assert_eq!(
            (pure(&[60, 61]), pure(&[69, 70])),
            ("0.499".into(), "0.491".into())
        );
    }

    /// Eleven harmonics, as read in the tests of dycon: a semitone, C major, C minor.
    #[test]
    fn dycons_chords() {
        assert_eq!(of(&[60, 61]), "0.484");
        assert_eq!(of(&[60, 64, 67]), "0.120");
        assert_eq!(of(&[60, 63, 67]), "0.130");
    }

    /// Computed apart from this code, from the same formula.
    #[test]
    fn the_thirds_from_c2_to_c5() {
        let lower = [36, 40, 43, 45, 46, 47, 48, 50, 52, 55, 60, 72];
        let curve =
            |semitones| lower.map(|low| roughness(&keys(&[low, low + semitones])).total.units());
        assert_eq!(
            curve(4),
            [233, 192, 166, 150, 142, 135, 128, 116, 104, 90, 70, 41]
        );
        assert_eq!(
            curve(3),
            [351, 302, 267, 244, 233, 223, 212, 193, 174, 148, 112, 56]
        );
    }

    /// Computed apart from this code: the roughness at the lowest place the books allow an interval
    /// runs over a factor of five, so there is no threshold that would be their table.
    #[test]
    fn no_threshold_is_the_arrangers_table() {
        let (second_on_e3, fourth_on_bb2) = (of(&[52, 53]), of(&[46, 51]));
        assert_eq!(
            (second_on_e3.as_str(), fourth_on_bb2.as_str()),
            ("0.494", "0.101")
        );
        assert_eq!(
            of(&[44, 49]),
            "0.112",
            "too low for the books, yet smoother than that second"
        );
    }

    /// The intervals of a hand get rougher downward from C6 to C2. Not the minor second: at E3 it is
    /// already at its roughest, and lower down its beats slow again.
    #[test]
    fn an_interval_falls_with_register() {
        for semitones in 2..=14 {
            let curve = (36..=84).map(|low| roughness(&keys(&[low, low + semitones])).total);
            assert!(curve.rev().is_sorted(), "{semitones} semitones");
        }
        assert!(of(&[36, 37]) < of(&[52, 53]));
    }

    #[test]
    fn the_pair_that_rubs_most_is_named() {
        let pair = |midi: &[u8]| {
            let pair = roughness(&keys(midi)).roughest;
            pair.map(|pair| (pair.lower.midi(), pair.upper.midi()))
        };
        assert_eq!(pair(&[41, 45, 53]), Some((41, 45)));
        assert_eq!(
            pair(&[45, 49, 60]),
            Some((49, 60)),
            "a major seventh before a third"
        );
        assert_eq!(pair(&[71, 48, 60, 72]), Some((71, 72)));
        assert_eq!(pair(&[60]), None);
        assert_eq!(pair(&[60, 60]), None);
        assert_eq!(
            pair(&[60, 108, 120]),
            Some((60, 108)),
            "of equals, the lowest"
        );
        assert_eq!(of(&[]), "0.000");
    }

    proptest! {
        #[test]
        fn order_and_doubling_change_nothing(midi in prop::collection::vec(21u8..=108, 0..8)) {
            let sorted = roughness(&keys(&midi));
            let mut other = midi.clone();
            other.reverse();
            other.extend(midi.first());
            prop_assert_eq!(sorted, roughness(&keys(&other)));
            let share = sorted.roughest.map_or(0, |pair| pair.share.units());
            prop_assert!(share <= sorted.total.units() + 1, "rounded one by one");
        }
    }
}
