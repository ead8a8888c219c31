//! A chart with its left hand, and what that costs.

use std::sync::Arc;

use super::settings::Settings;
use super::warning::Warning;
use crate::chart::{Chart, Performance, Slot};
use crate::harmony::HarmonicContext;
use crate::optimise::Cost;
use crate::pitch::Key;
use crate::voicing::{TotalSurcharges, Voicing};

/// A chart with its left hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Arrangement {
    /// The chart the voicings stand in: as read, or with every pass written out.
    pub chart: Chart,
    /// What it was arranged under.
    pub settings: Settings,
    /// The key that is home for the whole tune, given by the chart or found in its chords.
    pub home: Option<Key>,
    /// Every slot of the page, in written order.
    pub slots: Vec<Arranged>,
    /// How they are performed, each known by its place in [`Arrangement::slots`].
    pub performance: Performance,
    /// What the plan costs.
    pub totals: Totals,
    /// The best different plans, the plan itself first; empty unless they were asked for.
    pub alternatives: Vec<Alternative>,
    /// What the player should know.
    pub warnings: Vec<Warning>,
}

/// A slot with what the hand plays in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Arranged {
    /// The slot.
    pub slot: Slot,
    /// The key it stands in the first time it is played.
    pub key: Option<Key>,
    /// Where its chord goes the first time it is played.
    pub context: HarmonicContext,
    /// What the hand plays; `None` is silence, where the chart says so or the hand makes way for a
    /// low melody.
    pub voicing: Option<Voicing>,
    /// Whether the chart itself gave the voicing.
    pub given: bool,
    /// Every voicing the plan could have taken, in the order that decides between equal plans.
    pub candidates: Arc<Vec<Voicing>>,
}

/// What a plan costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Totals {
    /// The cost over the whole performance, in the order in which plans are compared.
    pub cost: Cost,
    /// What the voicings are charged besides motion, each time they are struck: part of the effort.
    pub surcharges: TotalSurcharges,
    /// Whether no plan costs less: proved, not hoped.
    pub optimal: bool,
    /// No plan costs less than this.
    pub lower_bound: Cost,
    /// With every pass written out: what one voicing a slot would cost the same performance; `None`
    /// where it can't meet the wishes.
    pub as_written: Option<Cost>,
    /// How many slots had to be looked at together at the most: 1 for a tune played straight.
    pub width: usize,
}

impl Totals {
    /// The motion alone, in semitones.
    pub const fn motion(self) -> u64 {
        self.cost.effort - self.surcharges.sum()
    }
}

/// One of the best plans.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alternative {
    /// What it costs over the whole performance.
    pub cost: Cost,
    /// What its voicings are charged besides motion.
    pub surcharges: TotalSurcharges,
    /// Whether its place in the list is proved.
    pub optimal: bool,
    /// What the hand plays in every slot; `None` is silence.
    pub voicings: Vec<Option<Voicing>>,
}
