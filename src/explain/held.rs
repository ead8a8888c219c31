//! What holds a place, in words.

use std::collections::BTreeSet;
use std::fmt;

use crate::reharm::HeldBy;

impl fmt::Display for HeldBy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Marked => "the chart marks it with `!`",
            Self::Asked => "it was asked to be held",
            Self::First => {
                "it opens the tune, so what begins there keeps its root, its third and its function"
            }
            Self::LastTonic => "it ends the tune, so it stays the last chord",
            Self::Arrival => "a phrase ends on it, so it may come late, but it comes",
            Self::Dominant => "it leads to the end of a phrase, so what leads there is a dominant",
            Self::Line => "it is part of a line on one root",
            Self::LineEnd => "a line on one root ends with it, so it begins as it is",
            Self::WalkingBass => "the bass walks through it",
            Self::SixFour => "one bass stays under it and the chord beside it",
            Self::Pedal => "it is part of a passage over one bass",
        })
    }
}

/// All that holds a place, one reason after the other.
pub fn held_because(holds: &BTreeSet<HeldBy>) -> String {
    let words: Vec<String> = holds.iter().map(HeldBy::to_string).collect();
    words.join("; ")
}
