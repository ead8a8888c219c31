//! What a voicing violates, and the setting that would let it pass, in words.

use std::fmt;

use crate::arrange::spelled;
use crate::chart::Slot;
use crate::hand::{HandRule, INTERVALS, Loosening, Violation, name_of};
use crate::pitch::Pitch;

/// A violation in words, its notes spelled as the page has them.
pub(crate) fn in_words(violation: &Violation, slot: &Slot) -> String {
    violation.spelled(|pitch| spelled(pitch, slot))
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
            Self::TooManyKeys { count } => {
                write!(f, "{count} keys are more than five fingers hold")
            }
            Self::BeyondFingers { lower, upper } => write!(
                f,
                "{} and {} lie too far apart for neighbouring fingers while the others are held",
                name(lower),
                name(upper)
            ),
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

impl fmt::Display for HandRule {
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

impl fmt::Display for Loosening {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Low(pitch) => write!(f, "--low {}", name_of(*pitch)),
            Self::High(pitch) => write!(f, "--high {}", name_of(*pitch)),
            Self::Reach(semitones) => write!(f, "--reach {semitones}"),
            Self::Allow(pairs) => {
                let allowed: Vec<String> = pairs
                    .iter()
                    .map(|(gap, low)| format!("{} from {}", interval_name(*gap), name_of(*low)))
                    .collect();
                write!(f, "limits: allow {}", allowed.join(", "))
            }
            Self::Shape(name) => write!(f, "add the shape {name} to the palette"),
            Self::MelodyNote(note) => write!(
                f,
                "do not mind the melody's {note}: --ignore-melody, or give the chord's notes in an lh line"
            ),
        }
    }
}

/// The trade's short name of an interval within a major tenth; wider ones in semitones.
fn interval_name(semitones: u8) -> String {
    let named = usize::from(semitones)
        .checked_sub(1)
        .and_then(|at| INTERVALS.get(at));
    named.map_or_else(
        || format!("{semitones} semitones"),
        |name| (*name).to_owned(),
    )
}
