//! A step on which the wishes fail.

use crate::chart::Slot;
use crate::optimise::{Row, StepRule, step};

/// A step that can't be made as wished.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Broken {
    /// The slot the performance comes from.
    pub from: Slot,
    /// The slot it can't reach as wished.
    pub to: Slot,
    /// Where the trouble begins: the step could be made if nothing were wished from this slot on.
    /// The same as `from` where the step can't be made at all.
    pub since: Slot,
    /// How far a note may leap, in semitones.
    pub leap: Option<u16>,
    /// How far the top note may move, in semitones.
    pub top: Option<u16>,
    /// The smallest leap with which the step could be made at all, if it were only for that.
    pub least_leap: u32,
    /// The smallest move of the top note with which it could.
    pub least_top: u32,
}

impl Broken {
    /// The same step with what its candidates allow at least.
    pub(crate) fn new(slots: [&Slot; 3], rule: StepRule, from: &[Row], to: &[Row]) -> Self {
        let [since, before, slot] = slots.map(Clone::clone);
        let pairs = || from.iter().flat_map(|a| to.iter().map(move |b| (a, b)));
        let leap = pairs().map(|(a, b)| step(a.entries(), b.entries()).largest);
        let top = pairs().filter_map(|(a, b)| Some((a.entries().last()?, b.entries().last()?)));
        let top = top.map(|(a, b)| u32::from(a.abs_diff(*b)));
        Self {
            from: before,
            to: slot,
            since,
            leap: rule.max_entry_step,
            top: rule.max_top_step,
            least_leap: leap.min().unwrap_or(0),
            least_top: top.min().unwrap_or(0),
        }
    }
}
