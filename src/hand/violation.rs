//! What can be wrong with a voicing.

use crate::pitch::{Degree, Name, Pitch};

use super::Millimetres;
use super::loosening::Loosening;

/// One rule a voicing breaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Violation {
    /// A tone the chord cannot do without is missing.
    Silent(Degree),
    /// Something the symbol only implies, or that was added, sounds while something it names is silent.
    ImpliedBeforeNamed {
        /// What sounds.
        sounding: Degree,
        /// What the symbol names and nobody hears.
        silent: Degree,
    },
    /// An added tone where a diminished chord has its root.
    ForTheRoot(Degree),
    /// A note the chord avoids.
    Avoid(Degree),
    /// A natural 11 over a major third.
    EleventhOverThird,
    /// A tone that the symbol does not ask for, a half step from its slash bass.
    RubsBass {
        /// The tone.
        degree: Degree,
        /// The note after the slash.
        bass: Name,
    },
    /// Two colours that cancel each other.
    Beside(Degree, Degree),
    /// A half step between the two highest notes.
    HalfStepOnTop {
        /// The lower note.
        lower: Degree,
        /// The upper note.
        upper: Degree,
    },
    /// A #9 that lies below the third, where it sounds like a wrong third.
    NinthBelowThird(Degree),
    /// A minor ninth between two notes.
    MinorNinth {
        /// The lower note.
        lower: Degree,
        /// The upper note.
        upper: Degree,
    },
    /// The hand does not open that far.
    OutOfReach {
        /// Lowest to highest note, in semitones.
        span: u8,
    },
    /// The keys lie further apart than the measured hand spans.
    BeyondHand {
        /// The lowest note.
        lower: Pitch,
        /// The highest note.
        upper: Pitch,
        /// The smallest hand that spans them.
        needs: Millimetres,
    },
    /// More keys than a hand has fingers.
    TooManyKeys {
        /// How many.
        count: usize,
    },
    /// Neighbouring fingers do not open that far while the others hold their keys.
    BeyondFingers {
        /// The key under the widest gap.
        lower: Pitch,
        /// The key over it.
        upper: Pitch,
    },
    /// A note under the range.
    BelowRange {
        /// The note.
        note: Pitch,
        /// The lowest key allowed.
        low: Pitch,
    },
    /// A note over the range.
    AboveRange {
        /// The note.
        note: Pitch,
        /// The highest key allowed.
        high: Pitch,
    },
    /// An interval that is muddy this low.
    Muddy {
        /// The interval's lower note.
        lower: Pitch,
        /// The interval, in semitones.
        interval: u8,
        /// The lowest key its lower note may take.
        floor: Pitch,
        /// Whether the lower note is the bass that is counted in.
        bass: bool,
    },
    /// A note over the melody.
    AboveMelody {
        /// What the note is in the chord.
        degree: Degree,
        /// The note.
        note: Pitch,
        /// The melody note it covers.
        melody: Pitch,
    },
    /// A note a minor second or minor ninth below the melody.
    RubsMelody {
        /// What the note is in the chord.
        degree: Degree,
        /// The note.
        note: Pitch,
        /// The melody note it rubs against.
        melody: Pitch,
    },
}

/// The rules in the order a voicing is held against them: first what no setting can change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HandRule {
    /// What must sound.
    MustSound,
    /// What must not sound together.
    Clash,
    /// How far the hand opens.
    Reach,
    /// Where on the keyboard it stays.
    Range,
    /// How low an interval may stand.
    LowIntervals,
    /// The melody above it.
    Melody,
}

impl HandRule {
    /// All of them, in order.
    pub const ALL: [Self; 6] = [
        Self::MustSound,
        Self::Clash,
        Self::Reach,
        Self::Range,
        Self::LowIntervals,
        Self::Melody,
    ];
}

impl Violation {
    /// The rule that is broken.
    pub const fn rule(&self) -> HandRule {
        match self {
            Self::Silent(_) | Self::ImpliedBeforeNamed { .. } | Self::ForTheRoot(_) => {
                HandRule::MustSound
            }
            Self::Avoid(_)
            | Self::EleventhOverThird
            | Self::RubsBass { .. }
            | Self::Beside(..)
            | Self::HalfStepOnTop { .. }
            | Self::NinthBelowThird(_)
            | Self::MinorNinth { .. } => HandRule::Clash,
            Self::OutOfReach { .. }
            | Self::BeyondHand { .. }
            | Self::TooManyKeys { .. }
            | Self::BeyondFingers { .. } => HandRule::Reach,
            Self::BelowRange { .. } | Self::AboveRange { .. } => HandRule::Range,
            Self::Muddy { .. } => HandRule::LowIntervals,
            Self::AboveMelody { .. } | Self::RubsMelody { .. } => HandRule::Melody,
        }
    }

    /// The smallest change of one setting that lets this one pass; `None` where no setting does, and for
    /// a measured hand, which is not to be stretched.
    ///
    /// ```
    /// # use compline::hand::Violation;
    /// let violation = Violation::OutOfReach { span: 16 };
    /// assert_eq!(violation.loosening().unwrap().to_string(), "--reach 16");
    /// ```
    pub fn loosening(&self) -> Option<Loosening> {
        match *self {
            Self::OutOfReach { span } => Some(Loosening::Reach(span)),
            Self::BelowRange { note, .. } => Some(Loosening::Low(note)),
            Self::AboveRange { note, .. } => Some(Loosening::High(note)),
            Self::Muddy {
                lower, interval, ..
            } => Some(Loosening::Allow(vec![(interval, lower)])),
            _ => None,
        }
    }
}

impl Violation {
    /// The keys it speaks of that the hand or the melody plays.
    pub fn keys(&self) -> impl Iterator<Item = Pitch> {
        let keys = match *self {
            Self::BelowRange { note, .. } | Self::AboveRange { note, .. } => [Some(note), None],
            Self::BeyondHand { lower, upper, .. } | Self::BeyondFingers { lower, upper } => {
                [Some(lower), Some(upper)]
            }
            Self::Muddy { lower, .. } => [Some(lower), None],
            Self::AboveMelody { note, melody, .. } | Self::RubsMelody { note, melody, .. } => {
                [Some(note), Some(melody)]
            }
            _ => [None, None],
        };
        keys.into_iter().flatten()
    }
}
