//! What a voicing violates, and the setting that would let it pass, in words.

use std::fmt;

use crate::chart::{MiddleC, Slot};
use crate::hand::{HandRule, INTERVALS, Loosening, Violation};
use crate::pitch::{Degree, Note, Pitch};

/// A violation in words, its notes spelled as the page has them.
pub(crate) fn in_words(violation: &Violation, slot: &Slot) -> String {
    violation.spelled(|pitch| slot.written(pitch), slot.middle_c)
}

impl Violation {
    /// It in words, with the hand's and the melody's notes named by `name`, as the page they stand on
    /// spells them, and those of the limits by what it calls middle C.
    ///
    /// ```
    /// # use compline::chart::MiddleC;
    /// # use compline::hand::Violation;
    /// # use compline::pitch::Note;
    /// let pitch = |name: &str| name.parse::<Note>().unwrap().pitch().unwrap();
    /// let violation = Violation::AboveRange { note: pitch("Db5"), high: pitch("A4") };
    /// assert_eq!(violation.to_string(), "C#5 lies over the range, A4");
    /// let name = |_| "Db4".to_owned();
    /// assert_eq!(violation.spelled(name, MiddleC::C3), "Db4 lies over the range, A3");
    /// ```
    pub fn spelled(&self, name: impl Fn(Pitch) -> String, middle_c: MiddleC) -> String {
        let limit = |pitch| middle_c.named(pitch, None);
        match *self {
            Self::Silent(degree) => format!("the {degree} is silent"),
            Self::ImpliedBeforeNamed { sounding, silent } => {
                format!("the symbol names {silent}, which is silent while {sounding} sounds")
            }
            Self::ForTheRoot(degree) => format!("{degree} stands where the root should"),
            Self::Avoid(degree) => format!("{degree} is a note this chord avoids"),
            Self::EleventhOverThird => "a natural 11 over the major third".to_owned(),
            Self::RubsBass { degree, bass } => {
                format!("the added {degree} lies a half step from the bass, {bass}")
            }
            Self::Beside(a, b) => format!("{a} beside {b}"),
            Self::HalfStepOnTop { lower, upper } => {
                format!("a half step on top, {lower} under {upper}")
            }
            Self::NinthBelowThird(degree) => {
                format!("the {degree} below the third with no b13 on top")
            }
            Self::MinorNinth { lower, upper } => {
                format!("a minor ninth between {lower} and {upper}")
            }
            Self::OutOfReach { span } => format!("the hand would have to open {span} semitones"),
            Self::BeyondHand {
                lower,
                upper,
                needs,
            } => format!(
                "{} to {} would need a hand of {needs}",
                name(lower),
                name(upper)
            ),
            Self::TooManyKeys { count } => {
                format!("{count} keys are more than five fingers hold")
            }
            Self::BeyondFingers { lower, upper } => beyond_fingers(&name(lower), &name(upper)),
            Self::BelowRange { note, low } => {
                format!("{} lies under the range, {}", name(note), limit(low))
            }
            Self::AboveRange { note, high } => {
                format!("{} lies over the range, {}", name(note), limit(high))
            }
            Self::Muddy {
                lower,
                interval,
                floor,
                bass,
            } => muddy(&name(lower), interval, &limit(floor), bass),
            Self::AboveMelody {
                degree,
                note,
                melody,
            } => {
                let (note, melody) = (name(note), name(melody));
                format!("the {degree}, {note}, would sound above the melody's {melody}")
            }
            Self::RubsMelody {
                degree,
                note,
                melody,
            } => rubs(degree, [note, melody], name),
        }
    }
}

impl fmt::Display for Violation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.spelled(|pitch| Note::usual(pitch).to_string(), MiddleC::C4))
    }
}

fn beyond_fingers(lower: &str, upper: &str) -> String {
    format!(
        "{lower} and {upper} lie too far apart for neighbouring fingers while the others are held"
    )
}

fn muddy(lower: &str, interval: u8, floor: &str, over_bass: bool) -> String {
    let interval = interval_name(interval);
    let whose = if over_bass { " over the bass" } else { "" };
    format!("{interval}{whose} on {lower} is muddy: not below {floor}")
}

fn rubs(degree: Degree, [note, melody]: [Pitch; 2], name: impl Fn(Pitch) -> String) -> String {
    let interval = match note.up_to(melody).0 {
        1 => "minor second",
        _ => "minor ninth",
    };
    let (note, melody) = (name(note), name(melody));
    format!("the {degree}, {note}, lies a {interval} below the melody's {melody}")
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

impl Loosening {
    /// It in words beside a chart that counts octaves so. Options and tables of limits always have middle
    /// C as C4, which is said where the chart has another name for it.
    pub fn beside(&self, middle_c: MiddleC) -> String {
        match self {
            Self::MelodyNote(note) => Self::MelodyNote(middle_c.renamed(*note)).to_string(),
            Self::Low(_) | Self::High(_) | Self::Allow(_) if middle_c != MiddleC::C4 => {
                format!("{self} (where middle C is C4)")
            }
            _ => self.to_string(),
        }
    }
}

impl fmt::Display for Loosening {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Low(pitch) => write!(f, "--low {}", Note::usual(*pitch)),
            Self::High(pitch) => write!(f, "--high {}", Note::usual(*pitch)),
            Self::Reach(semitones) => write!(f, "--reach {semitones}"),
            Self::Allow(pairs) => {
                let allowed: Vec<String> = pairs
                    .iter()
                    .map(|(gap, low)| format!("{} from {}", interval_name(*gap), Note::usual(*low)))
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
