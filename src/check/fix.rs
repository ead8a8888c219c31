//! What would fix a fault with the least effort.
//!
//! The voicings that break a rule are replaced together, by one plan with everything else held: so what
//! fixes one finding never contradicts what fixes another, and all of it done is the least effort there
//! is. A voicing that is not to be replaced now, because it is suppressed, is answered by itself.

use super::alone::{best_in, signed};
use super::context::Context;
use super::finding::{Replan, VoicingChange};
use super::minimal_repair::minimal_repair;
use super::motion::Motion;
use super::rule::{Fault, FixKind};
use super::{Finding, Fix, Opinion, Rule, Severity};
use crate::arrange::Reason;
use crate::explain::CAUTION;
use crate::hand::{Violation, roughness, spacing};
use crate::pitch::Semitones;
use crate::voicing::Voicing;

/// Works out fixes.
pub(super) struct Fixer<'a> {
    context: &'a Context<'a>,
    motion: &'a Motion<'a>,
    before: u64,
}

/// Spans beyond a ninth, in semitones, call for a caution.
const NINTH: u8 = 14;

impl<'a> Fixer<'a> {
    pub fn of(motion: &'a Motion<'a>) -> Self {
        let context = motion.context;
        Self {
            before: context.as_given.map_or(0, |totals| totals.cost.effort),
            context,
            motion,
        }
    }

    /// The finding of a fault, with its fix.
    pub fn finding(&self, rule: &'static Rule, severity: Severity, fault: Fault) -> Finding {
        let fix = self.fix(fault.fix);
        let opinion = self.opinion(fault.violation, fault.place.slot, &fix);
        Finding {
            rule,
            severity,
            caution: cautioned(fault.violation, &fix).then_some(CAUTION),
            place: fault.place,
            message: fault.message,
            fix,
            opinion,
            suppressed: None,
        }
    }

    /// What an ear model says about the voicing and its fix, where something is muddy.
    fn opinion(
        &self,
        violation: Option<Violation>,
        slot: Option<usize>,
        fix: &Fix,
    ) -> Option<Opinion> {
        let (
            Some(Violation::Muddy {
                lower, interval, ..
            }),
            Some(slot),
        ) = (violation, slot)
        else {
            return None;
        };
        let rough = |voicing: &Voicing| roughness(&voicing.pitches().collect::<Vec<_>>()).total;
        let changes = match fix {
            Fix::Replan(replan) => replan.changes.as_slice(),
            _ => &[],
        };
        let mended = changes.iter().find(|change| change.slot == slot);
        let upper = lower.plus(Semitones(i32::from(interval)))?;
        Some(Opinion {
            roughness: rough(self.context.hand.voicing(slot)?),
            mended: mended.map(|change| rough(&change.voicing)),
            spacing: spacing(lower, upper),
        })
    }

    fn fix(&self, kind: FixKind) -> Fix {
        match kind {
            FixKind::Slot(slot) => self.slot(slot),
            FixKind::Voicings(voicings) => self.replan(
                voicings.iter().map(|(slot, new)| (*slot, new)).collect(),
                true,
            ),
            FixKind::Restless => self.restless(),
            FixKind::Tidy => Fix::Rewrite(self.context.chart.tidy()),
            FixKind::Advice(text) => Fix::Advice(text),
            FixKind::Loosen(loosening) => Fix::Loosen(loosening),
            FixKind::Nothing(why) => Fix::Nothing(why),
        }
    }

    fn slot(&self, slot: usize) -> Fix {
        if let Some(voicing) = self.motion.repair.get(&slot) {
            return self.replan(vec![(slot, voicing)], true);
        }
        let choices = self.context.voiced.choices(slot);
        match best_in(&self.context.hand, slot, choices, None) {
            Some(found) => self.replan(vec![(slot, found.voicing)], true),
            None if choices.is_empty() => self.hopeless(slot),
            None => Fix::Nothing(
                "every legal voicing of this chord breaks a wish for the step to or from it"
                    .to_owned(),
            ),
        }
    }

    /// Where no legal voicing fits: the setting that would let one in, if there is one.
    fn hopeless(&self, slot: usize) -> Fix {
        let legal = self.context.voiced.legal.get(slot);
        let loosening = match legal.and_then(|legal| legal.as_ref().err()) {
            Some(Reason::Limits(none)) => none.loosening.clone(),
            _ => None,
        };
        loosening.map_or_else(
            || Fix::Nothing("no legal voicing fits this chord here".to_owned()),
            Fix::Loosen,
        )
    }

    fn restless(&self) -> Fix {
        match minimal_repair(self.motion) {
            Some(found) => {
                let changes = found.changes.iter().map(|(slot, voicing)| (*slot, voicing));
                self.replan(changes.collect(), found.proved)
            }
            None => Fix::Nothing(
                "no better plan was found beside what is held and what other findings change"
                    .to_owned(),
            ),
        }
    }

    /// By how much the performance as given would cost more with these voicings.
    fn extra(&self, changes: &[(usize, &Voicing)]) -> i64 {
        let slots: Vec<usize> = changes.iter().map(|(slot, _)| *slot).collect();
        let hand = &self.context.hand;
        let now: Option<Vec<&Voicing>> = slots.iter().map(|slot| hand.voicing(*slot)).collect();
        let new: Vec<&Voicing> = changes.iter().map(|(_, voicing)| *voicing).collect();
        let effort = |voicings: &[&Voicing]| signed(hand.stretch(&slots, voicings).cost.effort);
        now.map_or(0, |now| effort(&new) - effort(&now))
    }

    /// These voicings, and what the performance as given would cost with them.
    fn replan(&self, mut changes: Vec<(usize, &Voicing)>, proved: bool) -> Fix {
        changes.sort_by_key(|(slot, _)| *slot);
        let extra = self.extra(&changes);
        let slots = &self.context.voiced.problem.slots;
        let change = |(slot, voicing): (usize, &Voicing)| {
            let at = slots.get(slot)?;
            Some(VoicingChange {
                slot,
                bar: at.bar,
                symbol: at.symbol.text().to_owned(),
                voicing: voicing.clone(),
            })
        };
        Fix::Replan(Replan {
            changes: changes.into_iter().filter_map(change).collect(),
            before: self.before,
            after: self.before.saturating_add_signed(extra),
            proved,
        })
    }
}

/// Whether a finding or its fix has to do with a wide stretch.
fn cautioned(violation: Option<Violation>, fix: &Fix) -> bool {
    let stretch = matches!(
        violation,
        Some(Violation::OutOfReach { .. } | Violation::BeyondHand { .. })
    );
    let wide = |voicing: &Voicing| {
        let ends = voicing.pitches().next().zip(voicing.pitches().last());
        ends.is_some_and(|(low, high)| high.midi() - low.midi() > NINTH)
    };
    stretch
        || match fix {
            Fix::Replan(replan) => replan.changes.iter().any(|change| wide(&change.voicing)),
            _ => false,
        }
}
