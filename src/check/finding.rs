//! What a rule found, where, and what would fix it.

use super::{FindingPlace, Rule, Severity};
use crate::hand::{Hundredths, Loosening, Thousandths};
use crate::voicing::Voicing;

/// One thing wrong with a chart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// The rule that is broken.
    pub rule: &'static Rule,
    /// How much it matters under the settings.
    pub severity: Severity,
    /// Where.
    pub place: FindingPlace,
    /// What is wrong, one sentence in a musician's words, without a full stop.
    pub message: String,
    /// What would fix it.
    pub fix: Fix,
    /// What an ear model says about it, for information: only where something is muddy.
    pub opinion: Option<Opinion>,
    /// A warning to the player that goes with this finding or its fix: [`crate::explain::CAUTION`].
    pub caution: Option<&'static str>,
    /// The reason why the chart suppresses it; a suppressed finding counts as none.
    pub suppressed: Option<String>,
}

/// What would fix a finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fix {
    /// Other voicings in some slots, all others held: of all that fix it, those with the least effort.
    Replan(Replan),
    /// The chart's text as it should be.
    Rewrite(String),
    /// Something to be done by hand, in words.
    Advice(String),
    /// A setting loosened: nothing in the chart would do.
    Loosen(Loosening),
    /// Nothing known; why.
    Nothing(String),
}

impl Fix {
    /// Whether [`mend`](super::mend()) can do it.
    pub const fn is_done_by_mend(&self) -> bool {
        matches!(self, Self::Replan(_) | Self::Rewrite(_))
    }
}

/// Voicings that take the place of others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Replan {
    /// The new voicings, at least one, in the order of their slots.
    pub changes: Vec<VoicingChange>,
    /// The effort of the whole performance as it stands, in semitones.
    pub before: u64,
    /// The same with the new voicings.
    pub after: u64,
    /// Whether this is proved: that no other fix changes fewer voicings, and of those that change as
    /// few, none costs less.
    pub proved: bool,
}

impl Replan {
    /// By how many semitones of effort the performance costs more; negative when it costs less.
    pub fn extra(&self) -> i64 {
        let signed = |effort| i64::try_from(effort).unwrap_or(i64::MAX);
        signed(self.after) - signed(self.before)
    }
}

/// A new voicing in a slot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VoicingChange {
    /// The slot, by its place among [`Chart::slots`](crate::chart::Chart::slots).
    pub slot: usize,
    /// The written bar, from 1.
    pub bar: usize,
    /// The chord symbol.
    pub symbol: String,
    /// What the hand is to play there.
    pub voicing: Voicing,
}

/// What an ear model says about a muddy voicing: a second opinion and never a verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Opinion {
    /// The roughness of the voicing as it stands: see [`crate::hand::roughness`].
    pub roughness: Thousandths,
    /// The roughness of the voicing that would fix it, if one is known.
    pub mended: Option<Thousandths>,
    /// How far the two muddy notes lie apart on the scale of the ear: see [`crate::hand::spacing`].
    pub spacing: Hundredths,
}
