//! What is wrong with a voicing, in a musician's words.

use std::fmt;

use crate::pitch::{Degree, Name, Pitch};

use super::Millimetres;
use super::limits::INTERVALS;
use super::loosening::Loosening;
use super::name_of;

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
pub enum Rule {
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

impl Rule {
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

impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::MustSound => "must sound",
            Self::Clash => "clash",
            Self::Reach => "reach",
            Self::Range => "range",
            Self::LowIntervals => "low-interval limits",
            Self::Melody => "melody",
        })
    }
}

impl Violation {
    /// The rule that is broken.
    pub const fn rule(&self) -> Rule {
        match self {
            Self::Silent(_) | Self::ImpliedBeforeNamed { .. } | Self::ForTheRoot(_) => {
                Rule::MustSound
            }
            Self::Avoid(_)
            | Self::EleventhOverThird
            | Self::RubsBass { .. }
            | Self::Beside(..)
            | Self::HalfStepOnTop { .. }
            | Self::NinthBelowThird(_)
            | Self::MinorNinth { .. } => Rule::Clash,
            Self::OutOfReach { .. } | Self::BeyondHand { .. } => Rule::Reach,
            Self::BelowRange { .. } | Self::AboveRange { .. } => Rule::Range,
            Self::Muddy { .. } => Rule::LowIntervals,
            Self::AboveMelody { .. } | Self::RubsMelody { .. } => Rule::Melody,
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

/// The trade's short name of an interval within a major tenth; wider ones in semitones.
pub(super) fn interval_name(semitones: u8) -> String {
    let named = usize::from(semitones)
        .checked_sub(1)
        .and_then(|at| INTERVALS.get(at));
    named.map_or_else(
        || format!("{semitones} semitones"),
        |name| (*name).to_owned(),
    )
}

impl Violation {
    /// It in words, with the hand's and the melody's notes named by `name`, as the page they stand on
    /// spells them.
    ///
    /// ```
    /// # use compline::hand::Violation;
    /// # use compline::pitch::Note;
    /// let pitch = |name: &str| name.parse::<Note>().unwrap().pitch().unwrap();
    /// let violation = Violation::AboveRange { note: pitch("Db5"), high: pitch("A4") };
    /// assert_eq!(violation.to_string(), "C#5 lies over the range, A4");
    /// assert_eq!(violation.spelled(|_| "Db5".to_owned()), "Db5 lies over the range, A4");
    /// ```
    pub fn spelled(&self, name: impl Fn(Pitch) -> String) -> String {
        let mut text = String::new();
        // Writing to a string can't fail.
        let _ = self.write(&mut text, &name);
        text
    }

    /// The keys it speaks of that the hand or the melody plays.
    pub fn keys(&self) -> impl Iterator<Item = Pitch> {
        let keys = match *self {
            Self::BelowRange { note, .. } | Self::AboveRange { note, .. } => [Some(note), None],
            Self::BeyondHand { lower, upper, .. } => [Some(lower), Some(upper)],
            Self::Muddy { lower, .. } => [Some(lower), None],
            Self::AboveMelody { note, melody, .. } | Self::RubsMelody { note, melody, .. } => {
                [Some(note), Some(melody)]
            }
            _ => [None, None],
        };
        keys.into_iter().flatten()
    }

    fn write(&self, f: &mut impl fmt::Write, name: &dyn Fn(Pitch) -> String) -> fmt::Result {
        match *self {
            Self::Silent(degree) => write!(f, "the {degree} is silent"),
            Self::ImpliedBeforeNamed { sounding, silent } => {
                write!(
                    f,
                    "the symbol names {silent}, which is silent while {sounding} sounds"
                )
            }
            Self::ForTheRoot(degree) => write!(f, "{degree} stands where the root should"),
            Self::Avoid(degree) => write!(f, "{degree} is a note this chord avoids"),
            Self::EleventhOverThird => write!(f, "a natural 11 over the major third"),
            Self::RubsBass { degree, bass } => {
                write!(
                    f,
                    "the added {degree} lies a half step from the bass, {bass}"
                )
            }
            Self::Beside(a, b) => write!(f, "{a} beside {b}"),
            Self::HalfStepOnTop { lower, upper } => {
                write!(f, "a half step on top, {lower} under {upper}")
            }
            Self::NinthBelowThird(degree) => write!(f, "the {degree} below the third"),
            Self::MinorNinth { lower, upper } => {
                write!(f, "a minor ninth between {lower} and {upper}")
            }
            Self::OutOfReach { span } => {
                write!(f, "the hand would have to open {span} semitones")
            }
            Self::BeyondHand {
                lower,
                upper,
                needs,
            } => {
                let (lower, upper) = (name(lower), name(upper));
                write!(f, "{lower} to {upper} would need a hand of {needs}")
            }
            Self::BelowRange { note, low } => {
                write!(f, "{} lies under the range, {}", name(note), name_of(low))
            }
            Self::AboveRange { note, high } => {
                write!(f, "{} lies over the range, {}", name(note), name_of(high))
            }
            Self::Muddy {
                lower,
                interval,
                floor,
                bass,
            } => {
                let interval = interval_name(interval);
                let whose = if bass { " over the bass" } else { "" };
                write!(
                    f,
                    "{interval}{whose} on {} is muddy: not below {}",
                    name(lower),
                    name_of(floor)
                )
            }
            Self::AboveMelody {
                degree,
                note,
                melody,
            } => write!(
                f,
                "the {degree}, {}, would sound above the melody's {}",
                name(note),
                name(melody)
            ),
            Self::RubsMelody {
                degree,
                note,
                melody,
            } => {
                let gap = note.up_to(melody).0;
                let interval = if gap == 1 {
                    "minor second"
                } else {
                    "minor ninth"
                };
                write!(
                    f,
                    "the {degree}, {}, lies a {interval} below the melody's {}",
                    name(note),
                    name(melody)
                )
            }
        }
    }
}

impl fmt::Display for Violation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.write(f, &name_of)
    }
}
