//! What a player should know about an arrangement that was made.

use super::uncarried::Uncarried;
use crate::chart::Slot;
use crate::hand::{Millimetres, Violation};
use crate::pitch::Degree;

/// Something about an arrangement that its reader should know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Warning {
    /// Some slots had no legal voicing in the first shape.
    Thinned {
        /// The written bars, each once.
        bars: Vec<usize>,
        /// The shape that was wanted.
        wanted: &'static str,
    },
    /// A chord is played without something its symbol asks for, since the melody leaves no room for it.
    GivenUp(GivenUp),
    /// The hand is silent in some slots, since the melody leaves no room for it.
    MakesWay {
        /// The written bars, each once.
        bars: Vec<usize>,
    },
    /// Some chords are beyond the measured hand in the first shape, which would have fitted otherwise.
    BeyondHand {
        /// The hand.
        hand: Millimetres,
        /// The shape that was wanted.
        wanted: &'static str,
        /// The chords, in the order they first come, with what was made of them.
        chords: Vec<Thinner>,
    },
    /// A voicing that the chart gives is held although it breaks rules.
    GivenBreaks {
        /// The slot.
        slot: Box<Slot>,
        /// What it breaks, at least one.
        violations: Vec<Violation>,
    },
    /// Two voicings that the chart gives are held although the step between them is not as wished
    /// for the whole tune.
    GivenStep {
        /// The written bar and the chord the performance comes from.
        from: (usize, String),
        /// Those it comes to.
        to: (usize, String),
        /// The wishes for every step.
        wished: String,
    },
    /// A chord can't carry what the melody sings over it.
    Uncarried(Uncarried),
    /// The reach allows stretches wider than a ninth, or a voicing is held that is beyond the measured
    /// hand.
    WideReach,
}

/// A chord that is played without something that its symbol asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GivenUp {
    /// The chord symbol.
    pub symbol: String,
    /// The written bars, each once, rising.
    pub bars: Vec<usize>,
    /// What is left out.
    pub tones: Vec<Degree>,
    /// The held note of the melody, as the page spells it.
    pub under: String,
}

/// A chord that is played thinner than wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Thinner {
    /// The chord symbol.
    pub symbol: String,
    /// The written bars, each once, rising.
    pub bars: Vec<usize>,
    /// The shape it was thinned out to.
    pub shape: &'static str,
}
