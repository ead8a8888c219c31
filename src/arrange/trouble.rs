//! Why a chart can't be arranged.

use super::broken::Broken;
use super::uncarried::Uncarried;
use crate::chart::{Diagnostics, MiddleC, Slot, VoicingWish};
use crate::optimise::Unsolvable;
use crate::voicing::{NoVoicing, Voicing};

/// Why a chart can't be arranged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// Its repeats, endings or jumps can't be played.
    PlayOrder(Diagnostics),
    /// No legal voicing fits some of its slots.
    Stuck(Vec<StuckSlot>),
    /// Every slot has voicings, but no choice of them can be played one after the other.
    NoPlan(Unsolvable),
    /// Every slot has voicings as wished, but a step between them can't be made as wished.
    Broken(Box<Broken>),
}

/// A slot that no legal voicing fits, or none that is as wished.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StuckSlot {
    /// The slot.
    pub slot: Slot,
    /// Why, and what would help.
    pub why: Reason,
    /// What the chord as written can't carry of the melody, which may be the cause.
    pub uncarried: Option<Uncarried>,
}

/// Why a slot has no voicing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// The limits threw every candidate out.
    Limits(NoVoicing),
    /// There are legal voicings, but none is as wished.
    Wishes(Unmet),
}

/// Wishes that no legal voicing of a slot meets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unmet {
    /// The chord symbol.
    pub symbol: String,
    /// The wishes, each by itself; with any one of them left out some voicing would meet the rest.
    pub wishes: Vec<VoicingWish>,
    /// The legal voicings of every shape in the palette, in its order; at least one.
    pub legal: Vec<Voicing>,
    /// How many of them, the first ones, the slot could have without a wish: those that
    /// [`options`](super::options()) lists. A wish may lead to one of the others.
    pub unwished: usize,
    /// How the page counts octaves.
    pub middle_c: MiddleC,
}

impl Reason {
    /// With notes named as they are in the slot.
    pub(super) fn in_slot(self, slot: &Slot) -> Self {
        match self {
            Self::Limits(none) => Self::Limits(none.in_slot(slot)),
            Self::Wishes(unmet) => Self::Wishes(Unmet {
                middle_c: slot.middle_c,
                ..unmet
            }),
        }
    }
}
