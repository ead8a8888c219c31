//! A rule, and what it finds before anybody has asked what would fix it.

use super::context::Context;
use super::motion_faults::MotionFaults;
use super::{FindingPlace, Severity};
use crate::hand::{Loosening, Violation};
use crate::voicing::Voicing;

/// A rule that a chart is held against.
pub struct Rule {
    /// Its name in settings, suppressions and output.
    pub name: &'static str,
    /// How much a finding matters unless the settings say otherwise; `None` where the rule is off
    /// until they do.
    pub severity: Option<Severity>,
    /// The severities of its own that the rule gives some findings, each with which, unless the settings
    /// give the rule one.
    pub also: &'static [(Severity, &'static str)],
    /// Why the rule is there, in one musical sentence.
    pub why: &'static str,
    /// A chart that breaks the rule (a leap of more than seven semitones being unwished), to show
    /// what is meant.
    pub refused: &'static str,
    /// The nearest chart that keeps it.
    pub accepted: &'static str,
    /// Whether [`mend`](super::mend()) may be able to fix a finding; some fixes are left to the musician.
    pub mends: bool,
    /// Everything in a chart that breaks the rule.
    pub(super) check: Test,
}

/// What a rule looks at.
#[derive(Clone, Copy)]
pub(super) enum Test {
    /// Which violations by a given voicing break it.
    Violations(fn(&Violation) -> bool),
    /// A chart and its voicings, each by itself.
    Chart(fn(&Context<'_>) -> Vec<Fault>),
    /// How the hand moves, once the voicings that break a rule are replaced.
    Motion(fn(&MotionFaults<'_>) -> Vec<Fault>),
}

impl std::fmt::Debug for Rule {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Rule({})", self.name)
    }
}

impl PartialEq for Rule {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

impl Eq for Rule {}

/// One violation of a rule, as the rule finds it.
#[derive(Debug, Clone)]
pub(super) struct Fault {
    pub place: FindingPlace,
    pub message: String,
    pub fix: FixKind,
    /// What the hand's own rules call it, where they do.
    pub violation: Option<Violation>,
    /// A severity of its own, unless the settings give the rule one.
    pub severity: Option<Severity>,
}

impl Fault {
    /// Makes a note of it: the voicing says less than the symbol, and may stay.
    pub fn let_stay(&mut self) {
        self.severity = Some(Severity::Note);
        self.fix = FixKind::Advice("it may stay; it says less than the symbol".to_owned());
    }
}

/// What sort of fix a fault has; the voicings themselves are worked out later.
#[derive(Debug, Clone)]
pub(super) enum FixKind {
    /// Another voicing in this slot.
    Slot(usize),
    /// These voicings in these slots.
    Voicings(Vec<(usize, Voicing)>),
    /// As few other voicings as bring the hand within its allowance.
    Restless,
    /// The chart's standard layout.
    Tidy,
    /// Something to be done by hand.
    Advice(String),
    /// A looser setting.
    Loosen(Loosening),
    /// Nothing known.
    Nothing(String),
}
