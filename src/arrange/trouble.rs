//! Why a chart can't be arranged.

use crate::chart::{Problem, Slot};
use crate::plan::Unsolvable;
use crate::voicing::NoVoicing;

/// Why a chart can't be arranged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// Its repeats, endings or jumps can't be played.
    Road(Vec<Problem>),
    /// No legal voicing fits some of its slots.
    Stuck(Vec<Stuck>),
    /// Every slot has voicings, but no choice of them can be played one after the other.
    NoPlan(Unsolvable),
}

/// A slot that no legal voicing fits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stuck {
    /// The slot.
    pub slot: Slot,
    /// Which limits threw the candidates out, and what would help.
    pub why: NoVoicing,
}
