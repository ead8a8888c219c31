//! What decides an arrangement, besides the chart.

use crate::chart::{Chart, Slot, TopWish};
use crate::harmony::Melody;
use crate::voicing::VoicingSettings;

/// Everything that decides an arrangement, besides the chart.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Settings {
    /// The hand, the shapes, the colour.
    pub voicing: VoicingSettings,
    /// Whether the step from the last slot back to the first counts.
    pub looped: bool,
    /// Whether the melody is left out of account.
    pub ignore_melody: bool,
    /// Where the top note may go in every step, unless a slot wishes otherwise.
    pub top: Option<TopWish>,
    /// How far any note may leap in every step, in semitones, unless a slot wishes otherwise.
    pub leap: Option<u8>,
    /// Whether each pass is written out and may differ; else the page has one voicing a slot.
    pub as_played: bool,
    /// How many of the best different plans to list, the plan itself the first of them.
    pub alternatives: usize,
}

impl Settings {
    /// These settings for a chart: notes are named as its `spelling` line says, unless the settings
    /// say.
    #[must_use]
    pub fn on(&self, chart: &Chart) -> Self {
        let mut settings = self.clone();
        let said = settings.voicing.spelling;
        settings.voicing.spelling = said.or(chart.header.spelling());
        settings
    }

    /// The melody that counts in a slot.
    pub(crate) fn melody(&self, slot: &Slot) -> Melody {
        match self.ignore_melody {
            true => Melody::NONE,
            false => Melody::of(slot),
        }
    }
}
