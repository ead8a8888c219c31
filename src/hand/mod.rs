//! What one hand may play: range, reach, low-interval limits, what must sound and what must not.
//!
//! Each kind of rule has its file; [`Hand::judge`] holds a voicing against all of them, in the order
//! of [`HandRule::ALL`], and says every one it breaks. Nothing here makes up voicings: that is
//! [`crate::voicing`], which asks this module about each. How rough notes sound ([`roughness`]) is told
//! beside the rules and is none of them.
//!
//! ```
//! use compline::chord::Chord;
//! use compline::hand::{Hand, SoundingNote, Sung, Violation};
//!
//! let chord = Chord::read("Fm7").unwrap();
//! let play = |notes: &[(&str, &str)]| {
//!     let notes: Vec<SoundingNote> = notes.iter().map(|(note, degree)| SoundingNote::read(note, degree).unwrap()).collect();
//!     Hand::default().judge(&chord, &notes, Sung::for_long(&[]))
//! };
//! assert_eq!(play(&[("Ab3", "b3"), ("C4", "5"), ("Eb4", "b7"), ("G4", "9")]), []);
//! assert_eq!(play(&[("C4", "5"), ("Eb4", "b7")])[0].to_string(), "the b3 is silent");
//! ```

mod bass;
mod clash;
mod fingers;
mod hearing;
mod keyboard;
mod limits;
mod loosening;
mod millimetres;
mod pairs;
mod range;
mod reach;
mod requirements;
mod sung;
#[cfg(test)]
mod tests;
mod tones_left_out;
mod violation;

pub use bass::bass;
pub(crate) use bass::rubs_bass;
pub(crate) use clash::{cancels, has_ninth_low};
pub use fingers::FINGERS;
pub use hearing::{
    Hertz, Hundredths, Roughest, Roughness, Rounded, Thousandths, critical_band, roughness, spacing,
};
pub use keyboard::{hand_for, key_distance};
pub use limits::{
    INTERVALS, LimitMistake, LimitTable, LowIntervalLimit, Provenance, WIDEST, handbook, scores,
    series,
};
pub use loosening::Loosening;
pub use millimetres::{Millimetres, NotALength};
pub use range::{NotARange, Range, key};
pub use reach::{NotAHand, NotAReach, Reach};
pub(crate) use requirements::{
    Requirements, fourth_for_third, is_forbidden, keeps_root, sixth_for_seventh,
};
pub use sung::Sung;
pub(crate) use sung::{crowds, in_the_way, rubs};
pub(crate) use tones_left_out::{is_whole, raise};
pub use violation::{HandRule, Violation};

use crate::chord::Chord;
use crate::pitch::{Degree, Note, Pitch};

use pairs::pairs;

/// A sounding note of a voicing: which key, and what it is in the chord.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct SoundingNote {
    /// The key.
    pub pitch: Pitch,
    /// Its place in the chord.
    pub degree: Degree,
}

impl SoundingNote {
    /// The note a pair of words names: `("Ab3", "b3")`.
    pub fn read(note: &str, degree: &str) -> Option<Self> {
        let pitch = note.parse::<Note>().ok()?.pitch()?;
        Some(Self {
            pitch,
            degree: degree.parse().ok()?,
        })
    }
}

/// One player's left hand, as the settings describe it.
///
/// ```
/// # use compline::hand::Hand;
/// let hand = Hand::default();
/// assert_eq!(hand.range.to_string(), "C3-A4");
/// assert_eq!(hand.reach.to_string(), "14");
/// assert_eq!((hand.limits.name(), hand.bass), ("handbook", None));
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Hand {
    /// The keys it may take.
    pub range: Range,
    /// How low an interval may stand.
    pub limits: LimitTable,
    /// How far it opens.
    pub reach: Reach,
    /// The octave in which the slash bass, or else the root, is counted in for the low-interval
    /// limits; `None` leaves it to the bass player. See [`bass`].
    pub bass: Option<i32>,
}

impl Hand {
    /// Every rule the voicing breaks under these held notes of the melody, in the order of
    /// [`HandRule::ALL`]; an empty list when it may be played. The notes may come in any order.
    pub fn judge(&self, chord: &Chord, notes: &[SoundingNote], sung: Sung<'_>) -> Vec<Violation> {
        let asked = Requirements::of(chord, sung);
        let bass = self.bass.and_then(|octave| bass(chord, octave));
        in_the_chord(&asked, notes)
            .chain(self.spanned(notes))
            .chain(fingers::violation(self.reach, notes))
            .chain(self.placed(notes, bass))
            .chain(sung::violations(notes, sung.held))
            .collect()
    }

    /// The first rule broken by where the notes lie, which the same shape elsewhere may keep.
    pub(crate) fn misplaced(
        &self,
        notes: &[SoundingNote],
        bass: Option<Pitch>,
        melody: &[Pitch],
    ) -> Option<Violation> {
        self.placed(notes, bass)
            .chain(sung::violations(notes, melody))
            .next()
    }

    /// The span, if the hand does not open that far.
    pub(crate) fn spanned(&self, notes: &[SoundingNote]) -> Option<Violation> {
        let low = notes.iter().map(|n| n.pitch).min()?;
        let high = notes.iter().map(|n| n.pitch).max()?;
        (!self.reach.spans(low, high)).then(|| match self.reach {
            Reach::Semitones(_) => Violation::OutOfReach {
                span: high.midi() - low.midi(),
            },
            Reach::Span(_) => Violation::BeyondHand {
                lower: low,
                upper: high,
                needs: hand_for(low, high),
            },
        })
    }

    /// What keeps five fingers from holding the notes together.
    pub(crate) fn fingered(&self, notes: &[SoundingNote]) -> Option<Violation> {
        fingers::violation(self.reach, notes)
    }

    fn placed<'a>(
        &'a self,
        notes: &'a [SoundingNote],
        bass: Option<Pitch>,
    ) -> impl Iterator<Item = Violation> + 'a {
        let outside = notes.iter().filter_map(|note| self.outside(note.pitch));
        let pairs = pairs(notes).filter_map(|(low, high)| self.muddy(low.pitch, high.pitch, false));
        let over_bass = bass.into_iter().flat_map(move |bass| {
            let all = notes.iter();
            all.filter_map(move |note| self.muddy(bass, note.pitch, true))
        });
        outside.chain(pairs).chain(over_bass)
    }

    fn outside(&self, note: Pitch) -> Option<Violation> {
        let (low, high) = (self.range.low(), self.range.high());
        if note < low {
            Some(Violation::BelowRange { note, low })
        } else {
            (note > high).then_some(Violation::AboveRange { note, high })
        }
    }

    fn muddy(&self, a: Pitch, b: Pitch, bass: bool) -> Option<Violation> {
        let (lower, upper) = (a.min(b), a.max(b));
        let floor = self.limits.forbids(lower, upper)?;
        let interval = upper.midi() - lower.midi();
        Some(Violation::Muddy {
            lower,
            interval,
            floor,
            bass,
        })
    }
}

/// The rules that hold wherever on the keyboard the shape is put.
pub(crate) fn in_the_chord<'a>(
    asked: &'a Requirements,
    notes: &'a [SoundingNote],
) -> impl Iterator<Item = Violation> + 'a {
    tones_left_out::violations(asked, notes).chain(clash::violations(asked, notes))
}
