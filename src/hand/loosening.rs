//! The change of a setting that would let a voicing pass.

use crate::pitch::{Note, Pitch};

/// One setting, loosened just enough.
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
