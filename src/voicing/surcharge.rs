//! Surcharges: what a voicing costs besides the motion into it.
//!
//! A surcharge is a whole number of semitones of motion that a player would rather move than accept the
//! voicing. Effort is motion and surcharges together. The weights below are the one table of them; with
//! all of them 0 the plan is the least motion and nothing else.
//!
//! | surcharge | what it counts | unless set otherwise |
//! |---|---|---|
//! | `register` | the square of the semitones that the lowest note lies below the floor, or more than 8 semitones above it | 4, the floor is Eb3 |
//! | `plain` | each usual tension that a plainer filling leaves out; as much again for a cluster with what stands in its place (three neighbours within a major third, one of them the root, or an 11 that the symbol does not name); half as much, rounded down, for the 5 where the 13 of a dominant is usual, for an inversion that is neither form A nor B, and for a key that is left to the melody, if the symbol doesn't name its tone and the melody has it from the start for half the chord; twice as much for a #9 below the third | 6 |
//! | `melody` | each hand note that is in the melody's way: it rubs one that goes by, or lies on or above it, or is the top note a whole step below a held one; six times as much for one that rubs a note that leans on a chord tone for a third of the chord or more; ten times as much for a key that the melody holds | 2 |
//!
//! The stretch is published: left hands sound best within a major sixth below middle C (jazzpiano.net.au,
//! tutorial 9). The weights are a judgement of ours: a ninth is worth a small move, not a leap. One low
//! chord that a line leads into is fine, a page around C3 is mud: so the price grows with the depth, and
//! D3 costs 4, C#3 16, C3 36, and C4 4, C#4 16 on the other side. An inversion that is neither form has every
//! tension, and a hand that would leap or sink takes it sooner than it gives one up. A key that both hands press is one note
//! less and a finger in the way: Em7 as G3 B3 D4 E4 under a held E4 is worth less than G3 B3 D4, which leaves
//! the E to the melody.

use std::fmt;

use crate::hand::{crowds, in_the_way, rubs};
use crate::harmony::Melody;
use crate::pitch::{Pitch, Semitones};

use super::Voicing;

/// How far above the floor the lowest note may lie for nothing: Eb3 to B3, the major sixth below middle C.
const STRETCH: u8 = 8;

/// How many times as much a key that the melody holds is charged as one in its way for a moment.
const SHARED: u32 = 10;

/// How many times as much a note is charged that rubs a leaning one: a chord that goes without the tone, one
/// tension plainer, is then better, where motion does not tell otherwise.
const LEANED_ON: u32 = 6;

/// How much each surcharge counts, in semitones of motion; and the floor of the register.
///
/// ```
/// # use compline::voicing::SurchargeWeights;
/// let weights = SurchargeWeights::default();
/// assert_eq!((weights.register, weights.plain, weights.melody), (4, 6, 2));
/// assert_eq!(weights.floor.midi(), 51);
/// assert!(SurchargeWeights::NONE.is_free());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct SurchargeWeights {
    /// For the square of the semitones that the lowest note lies outside the major sixth on the floor.
    pub register: u32,
    /// Where the register surcharge ends: the lowest note costs nothing from here to 8 semitones higher.
    pub floor: Pitch,
    /// For every usual tension that a plainer filling leaves out; the table above has what else counts.
    pub plain: u32,
    /// For every hand note in the melody's way for a moment; one that rubs a leaning note costs six times as much, a
    /// key that the melody holds ten times.
    pub melody: u32,
}

impl SurchargeWeights {
    /// No surcharge at all: effort is motion.
    pub const NONE: Self = Self {
        register: 0,
        floor: Pitch::MIDDLE_C,
        plain: 0,
        melody: 0,
    };

    /// Whether nothing is ever charged.
    pub const fn is_free(self) -> bool {
        self.register == 0 && self.plain == 0 && self.melody == 0
    }

    /// What a lowest note costs by its height.
    ///
    /// ```
    /// # use compline::{hand::key, voicing::SurchargeWeights};
    /// let weights = SurchargeWeights::default();
    /// assert_eq!(weights.of_height(key("D3").unwrap()), 4);
    /// assert_eq!(weights.of_height(key("C3").unwrap()), 4 * 3 * 3);
    /// assert_eq!(weights.of_height(key("Eb3").unwrap()), 0);
    /// assert_eq!(weights.of_height(key("B3").unwrap()), 0);
    /// assert_eq!(weights.of_height(key("C4").unwrap()), 4);
    /// ```
    pub fn of_height(self, lowest: Pitch) -> u32 {
        let below = self.floor.midi().saturating_sub(lowest.midi());
        let above = lowest.midi().saturating_sub(self.floor.midi() + STRETCH);
        let outside = u32::from(below.max(above));
        self.register.saturating_mul(outside * outside)
    }

    /// What a filling costs that leaves out so many half tensions.
    pub(super) const fn of_plainness(self, halves: u32) -> u32 {
        self.plain.saturating_mul(halves) / 2
    }

    /// What a voicing costs by the melody over it.
    ///
    /// ```
    /// # use compline::{harmony::Melody, voicing::{SurchargeWeights, read_given}};
    /// let chord = compline::chord::Chord::read("Dm7").unwrap();
    /// let notes = ["F3", "A3", "C4", "E4"].map(|note| note.parse().unwrap());
    /// let voicing = read_given(&chord, &notes).unwrap();
    /// let chart = compline::chart::read("| Dm7 |\nmel | E4:3 F4:1 |").unwrap();
    /// let melody = Melody::of(&chart.slots()[0]);
    /// // The melody holds the E4. That it rubs the F4 too, which goes by, is not charged again.
    /// assert_eq!(SurchargeWeights::default().of_melody(&voicing, &melody), 10 * 2);
    /// ```
    pub fn of_melody(self, voicing: &Voicing, melody: &Melody) -> u32 {
        let Melody {
            held,
            passing,
            leaning,
            ..
        } = melody;
        let leaned_on = |note| leaning.iter().any(|leaning| rubs(note, *leaning));
        let each = voicing.pitches().map(|note| match held.contains(&note) {
            true => SHARED,
            false if leaned_on(note) => LEANED_ON,
            false => u32::from(in_the_way(note, passing)),
        });
        let top = voicing.pitches().last();
        let crowded = u32::from(top.is_some_and(|top| crowds(top, held)));
        self.melody.saturating_mul(each.sum::<u32>() + crowded)
    }
}

impl Default for SurchargeWeights {
    fn default() -> Self {
        let sixth_below = Pitch::MIDDLE_C.plus(Semitones(-9));
        Self {
            register: 4,
            floor: sixth_below.unwrap_or(Pitch::MIDDLE_C),
            plain: 6,
            melody: 2,
        }
    }
}

/// What one voicing is charged, in semitones of motion, each time it is struck.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Surcharges {
    /// For lying low or high.
    pub register: u32,
    /// For usual tensions left out.
    pub plain: u32,
    /// For being in the melody's way.
    pub melody: u32,
}

impl Surcharges {
    /// All of them together.
    ///
    /// ```
    /// # use compline::voicing::Surcharges;
    /// let charged = Surcharges { register: 1, plain: 4, melody: 0 };
    /// assert_eq!(charged.sum(), 5);
    /// ```
    pub const fn sum(self) -> u32 {
        self.register
            .saturating_add(self.plain)
            .saturating_add(self.melody)
    }
}

/// The surcharges of many voicings together, each as often as it is struck.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct TotalSurcharges {
    /// For lying low or high.
    pub register: u64,
    /// For usual tensions left out.
    pub plain: u64,
    /// For being in the melody's way.
    pub melody: u64,
}

impl TotalSurcharges {
    /// All of them together.
    pub const fn sum(self) -> u64 {
        self.register + self.plain + self.melody
    }

    /// With those of one more voicing, struck so often.
    #[must_use]
    pub fn with(self, charged: Surcharges, times: u64) -> Self {
        Self {
            register: self.register + u64::from(charged.register) * times,
            plain: self.plain + u64::from(charged.plain) * times,
            melody: self.melody + u64::from(charged.melody) * times,
        }
    }

    /// Each with its name, in the order they are shown.
    pub const fn parts(self) -> [(&'static str, u64); 3] {
        [
            ("register", self.register),
            ("plain", self.plain),
            ("melody", self.melody),
        ]
    }
}

impl From<Surcharges> for TotalSurcharges {
    fn from(charged: Surcharges) -> Self {
        Self::default().with(charged, 1)
    }
}

/// The parts that are not 0, such as `register 4, melody 2`; nothing where nothing is charged.
impl fmt::Display for TotalSurcharges {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let charged = self.parts().into_iter().filter(|(_, count)| *count > 0);
        let words: Vec<String> = charged.map(|(name, n)| format!("{name} {n}")).collect();
        f.write_str(&words.join(", "))
    }
}

impl fmt::Display for Surcharges {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        TotalSurcharges::from(*self).fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lowest_note_is_charged_the_more_the_farther_out_it_lies() {
        let weights = SurchargeWeights {
            register: 3,
            ..SurchargeWeights::default()
        };
        let at = |midi| weights.of_height(Pitch::new(midi).unwrap());
        assert_eq!(
            [at(48), at(49), at(50), at(51), at(59), at(61)],
            [27, 12, 3, 0, 0, 12]
        );
    }

    #[test]
    fn what_is_not_charged_is_not_named() {
        let charged = |register, plain, melody| {
            let charged = Surcharges {
                register,
                plain,
                melody,
            };
            charged.to_string()
        };
        assert_eq!(charged(4, 0, 2), "register 4, melody 2");
        assert_eq!(charged(0, 0, 0), "");
    }

    #[test]
    fn without_weights_nothing_is_charged() {
        let none = SurchargeWeights::NONE;
        assert!((0..128).all(|midi| none.of_height(Pitch::new(midi).unwrap()) == 0));
        assert!(!SurchargeWeights::default().is_free());
    }
}
