//! The change of a setting that would let a voicing pass.

use std::fmt;

use crate::pitch::{Note, Pitch};

use super::name_of;
use super::violation::interval_name;

/// One setting, loosened just enough. Prints as the option to type, or as a sentence.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Loosening {
    /// A lower low end of the range.
    Low(Pitch),
    /// A higher high end of the range.
    High(Pitch),
    /// A wider reach, in semitones.
    Reach(u8),
    /// Low-interval limits: each interval (in semitones) to be allowed from this key up.
    Allow(Vec<(u8, Pitch)>),
    /// Another shape at the end of the palette.
    Shape(&'static str),
    /// A melody note that need not be minded.
    MelodyNote(Note),
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
