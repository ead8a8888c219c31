//! The settings one chart is worked on under, and how they come about.

use std::fmt;
use std::path::PathBuf;

use compline::check::Severity;
use compline::hand::Range;
use compline::pitch::{Note, Pitch};
use compline::reharm::ChangeWeights;
use compline::{arrange, check};

/// The settings one chart is worked on under.
#[derive(Debug)]
pub struct InForce {
    /// The player's.
    pub arrange: arrange::Settings,
    /// What a choice of changes is made for.
    pub changes: ChangeWeights,
    /// What it is checked against.
    pub check: check::RuleSettings,
    /// The least severity that fails.
    pub fail_on: Severity,
    /// The record of known findings.
    pub known: Option<PathBuf>,
}

/// Settings in the making: the usual ones, until something is set.
#[derive(Debug)]
pub struct SettingsDraft {
    /// The lowest key.
    pub low: Pitch,
    /// The highest key.
    pub high: Pitch,
    /// Everything else.
    pub settings: InForce,
}

impl Default for SettingsDraft {
    fn default() -> Self {
        let settings = InForce {
            arrange: arrange::Settings::default(),
            changes: ChangeWeights::default(),
            check: check::RuleSettings::default(),
            fail_on: Severity::Warning,
            known: None,
        };
        let range = settings.arrange.voicing.hand.range;
        Self {
            low: range.low(),
            high: range.high(),
            settings,
        }
    }
}

impl SettingsDraft {
    /// The settings as they are drawn up.
    ///
    /// # Errors
    ///
    /// A range that stands on its head.
    pub fn finish(self) -> Result<InForce, UpsideDown> {
        let Self {
            low,
            high,
            mut settings,
        } = self;
        let range = Range::new(low, high).ok_or(UpsideDown(low, high))?;
        settings.arrange.voicing.hand.range = range;
        settings.check.arrange = settings.arrange.clone();
        Ok(settings)
    }
}

/// The low end of a range lies above its high end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UpsideDown(Pitch, Pitch);

impl fmt::Display for UpsideDown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (low, high) = (Note::usual(self.0), Note::usual(self.1));
        write!(f, "low, {low}, would lie above high, {high}")
    }
}
