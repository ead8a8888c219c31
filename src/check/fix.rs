//! What would fix a fault with the least extra motion.
//!
//! A fault of a voicing is fixed by another voicing in its slot, everything else held: those around
//! it as the chart gives them, those still to be planned as the plan around the given has them. Of all
//! legal voicings that break no wish for a step that is kept now, the one is taken with which the
//! whole performance costs least, repeats included, in the order in which plans are compared. So the
//! extra motion is the least there is, and may be negative.
//!
//! A step that is too wide is fixed by another voicing at its arrival; or else at its departure; or
//! else at both.

use std::collections::BTreeMap;

use super::context::Context;
use super::finding::{Replan, VoicingChange};
use super::left_hand::LeftHand;
use super::minimal_repair::minimal_repair;
use super::rule::{Fault, FixKind};
use super::{Finding, Fix, Opinion, Rule, Severity};
use crate::arrange::row;
use crate::explain::CAUTION;
use crate::hand::{Violation, roughness, spacing};
use crate::optimise::Cost;
use crate::pitch::Semitones;
use crate::voicing::Voicing;

/// Works out fixes, each slot's once.
pub(super) struct Fixer<'a> {
    context: &'a Context<'a>,
    slots: BTreeMap<usize, Fix>,
    before: u64,
}

/// Spans beyond a ninth, in semitones, call for a caution.
const NINTH: u8 = 14;

impl<'a> Fixer<'a> {
    pub fn of(context: &'a Context<'a>) -> Self {
        let before = context.as_given.map_or(0, |totals| totals.cost.effort);
        Self {
            context,
            slots: BTreeMap::new(),
            before,
        }
    }

    /// The finding of a fault, with its fix.
    pub fn finding(&mut self, rule: &'static Rule, severity: Severity, fault: Fault) -> Finding {
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

    fn fix(&mut self, kind: FixKind) -> Fix {
        match kind {
            FixKind::Slot(slot) => {
                let known = self.slots.get(&slot).cloned();
                known.unwrap_or_else(|| {
                    let fix = self.slot(slot);
                    self.slots.insert(slot, fix.clone());
                    fix
                })
            }
            FixKind::Step(from, to) => self.step(from, to),
            FixKind::Restless => self.restless(),
            FixKind::Tidy => Fix::Rewrite(self.context.chart.tidy()),
            FixKind::Advice(text) => Fix::Advice(text),
            FixKind::Loosen(loosening) => Fix::Loosen(loosening),
            FixKind::Nothing(why) => Fix::Nothing(why),
        }
    }

    fn slot(&self, slot: usize) -> Fix {
        let choices = self.context.voiced.choices(slot);
        match best_in(&self.context.hand, slot, choices, None) {
            Some(found) => self.replan(vec![(slot, found.voicing)], found.extra, true),
            None if choices.is_empty() => {
                Fix::Nothing("no legal voicing fits this chord here".to_owned())
            }
            None => Fix::Nothing(
                "every legal voicing of this chord breaks a wish for the step to or from it"
                    .to_owned(),
            ),
        }
    }

    fn step(&self, from: usize, to: usize) -> Fix {
        let performance = &self.context.hand;
        let choices = |slot| self.context.voiced.choices(slot);
        let one = [(to, from), (from, to)];
        let alone = one.into_iter().find_map(|(slot, other)| {
            let found = best_in(performance, slot, choices(slot), Some(other))?;
            Some(self.replan(vec![(slot, found.voicing)], found.extra, true))
        });
        alone
            .or_else(|| {
                let ([a, b], extra) =
                    best_pair(performance, [from, to], [choices(from), choices(to)])?;
                Some(self.replan(vec![(from, a), (to, b)], extra, true))
            })
            .unwrap_or_else(|| {
                Fix::Nothing(
                    "no legal voicings on either side of this step keep the wish".to_owned(),
                )
            })
    }

    fn restless(&self) -> Fix {
        match minimal_repair(self.context) {
            Some(found) => {
                let changes = found.changes.iter().map(|(slot, voicing)| (*slot, voicing));
                let extra = signed(found.after) - signed(self.before);
                self.replan(changes.collect(), extra, found.proved)
            }
            None => Fix::Nothing("no better plan keeps what is wished and waived".to_owned()),
        }
    }

    fn replan(&self, mut changes: Vec<(usize, &Voicing)>, extra: i64, proved: bool) -> Fix {
        changes.sort_by_key(|(slot, _)| *slot);
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

/// A voicing that would take the place of another.
pub(super) struct BestVoicing<'a> {
    pub voicing: &'a Voicing,
    /// The motion it adds to the whole performance.
    pub extra: i64,
}

/// The best of these voicings for a slot, everything else held. The step between the slot and
/// `mended` must be as wished; every other must be if it is now.
pub(super) fn best_in<'a>(
    performance: &LeftHand,
    slot: usize,
    choices: &'a [Voicing],
    mended: Option<usize>,
) -> Option<BestVoicing<'a>> {
    let kept = choices.iter().filter_map(|voicing| {
        let row = row(voicing)?;
        let kept = !performance.breaks_but(slot, &row, mended);
        kept.then(|| (performance.cost_around(slot, voicing), voicing))
    });
    // The first of equals, as the planner has it.
    let (cost, voicing) = kept.min_by_key(|(cost, _)| *cost)?;
    Some(BestVoicing {
        voicing,
        extra: difference(performance.cost_here(slot), cost)[0],
    })
}

/// The best two voicings for both ends of a step that neither end can fix alone.
fn best_pair<'a>(
    performance: &LeftHand,
    [from, to]: [usize; 2],
    [first, second]: [&'a [Voicing]; 2],
) -> Option<([&'a Voicing; 2], i64)> {
    let here = performance.voicing(from)?.clone();
    let mut trial = performance.clone();
    let mut best: Option<([i64; 3], [&Voicing; 2])> = None;
    for a in first {
        trial.set(from, &here);
        let row = row(a)?;
        if trial.breaks_except(from, &row, to) {
            continue;
        }
        // One change after the other: the second is measured with the first in its place.
        let leaving = difference(trial.cost_here(from), trial.cost_around(from, a));
        trial.set(from, a);
        let Some(b) = best_in(&trial, to, second, Some(from)) else {
            continue;
        };
        let arriving = difference(trial.cost_here(to), trial.cost_around(to, b.voicing));
        let sum = [0, 1, 2].map(|at| leaving[at] + arriving[at]);
        if best.as_ref().is_none_or(|(least, _)| sum < *least) {
            best = Some((sum, [a, b.voicing]));
        }
    }
    best.map(|([motion, ..], pair)| (pair, motion))
}

/// By how much a cost grows, in the order in which costs are compared.
fn difference(before: Cost, after: Cost) -> [i64; 3] {
    [
        signed(after.effort) - signed(before.effort),
        signed(after.largest) - signed(before.largest),
        signed(after.off_centre) - signed(before.off_centre),
    ]
}

fn signed(motion: u64) -> i64 {
    i64::try_from(motion).unwrap_or(i64::MAX)
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
