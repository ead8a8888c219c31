//! The rules, one file each, and what several of them share.
//!
//! A rule is one file and one line in [`RULES`]. Those about a single voicing ask
//! [`Hand::judge`](crate::hand::Hand::judge), which has judged every given voicing by the time they
//! are asked; so what a hand may play is said once, there.

mod against_the_melody;
mod avoid_note;
mod bass_rub;
mod beyond_reach;
mod colours_at_odds;
mod foreign_note;
mod melody_at_odds;
mod minor_ninth;
mod missing_tone;
mod muddy;
mod no_voicing;
mod out_of_range;
mod over_the_melody;
mod restless_hand;
mod rubs_the_melody;
#[cfg(test)]
mod tests;
mod top_line;
mod two_readings;
mod unsaid_tone;
mod untidy;
mod waiver;
mod wide_leap;

use super::Rule;
use super::context::Context;
use super::rule::{Fault, FixKind};
use crate::explain::in_words;
use crate::hand::Violation;
use crate::optimise::{Step, step};

pub(super) use waiver::{RULE as WAIVER, unused};

/// Every rule, in the order findings of one slot are listed.
pub static RULES: [&Rule; 20] = [
    &waiver::RULE,
    &untidy::RULE,
    &two_readings::RULE,
    &melody_at_odds::RULE,
    &no_voicing::RULE,
    &missing_tone::RULE,
    &unsaid_tone::RULE,
    &foreign_note::RULE,
    &avoid_note::RULE,
    &bass_rub::RULE,
    &colours_at_odds::RULE,
    &minor_ninth::RULE,
    &beyond_reach::RULE,
    &muddy::RULE,
    &out_of_range::RULE,
    &over_the_melody::RULE,
    &rubs_the_melody::RULE,
    &wide_leap::RULE,
    &top_line::RULE,
    &restless_hand::RULE,
];

/// The rule of this name.
pub fn rule(name: &str) -> Option<&'static Rule> {
    RULES.into_iter().find(|rule| rule.name == name)
}

/// A fault for every violation of a given voicing that is of this kind.
fn violating(context: &Context<'_>, kind: fn(&Violation) -> bool) -> Vec<Fault> {
    let judged = context.voiced.problem.slots.iter().zip(&context.judged);
    let violations =
        judged.flat_map(|(slot, violations)| violations.iter().map(move |b| (slot, *b)));
    violations
        .filter(|(_, violation)| kind(violation))
        .map(|(slot, violation)| Fault {
            place: context.hand_place(slot.index),
            message: in_words(&violation, slot),
            fix: FixKind::Slot(slot.index),
            violation: Some(violation),
            severity: None,
        })
        .collect()
}

/// A step of the performance between two voicings that the chart gives.
struct GivenStep {
    from: usize,
    to: usize,
    /// How far the hand moves.
    taken: Step,
    /// How far its top note moves, in semitones.
    top: u32,
}

/// Every such step, in the order it is first taken.
fn given_steps<'a>(context: &'a Context<'_>) -> impl Iterator<Item = GivenStep> + 'a {
    let steps = context.hand.steps();
    steps.filter_map(|(from, to)| {
        let given = |slot: usize| context.voiced.given.get(slot)?.as_ref();
        let (before, after) = (given(from)?, given(to)?);
        let top = |voicing: &crate::voicing::Voicing| voicing.pitches().last();
        let (a, b) = (crate::arrange::row(before)?, crate::arrange::row(after)?);
        Some(GivenStep {
            from,
            to,
            taken: step(a.entries(), b.entries()),
            top: u32::from(top(before)?.midi().abs_diff(top(after)?.midi())),
        })
    })
}

/// A fault for every step between given voicings that goes further than the `most` semitones wished;
/// none where nothing is wished. `far` says how far a step goes, `what` what goes so far.
fn beyond(
    context: &Context<'_>,
    most: Option<u8>,
    far: fn(&GivenStep) -> u32,
    what: &str,
) -> Vec<Fault> {
    let Some(most) = most else {
        return Vec::new();
    };
    let wide = given_steps(context).filter(|step| far(step) > u32::from(most));
    wide.map(|step| Fault {
        place: context.hand_place(step.to),
        message: format!(
            "{what} {} semitones from {}: not more than {most} are wished",
            far(&step),
            named(context, step.from)
        ),
        fix: FixKind::Step(step.from, step.to),
        violation: None,
        severity: None,
    })
    .collect()
}

/// A slot as messages name it.
fn named(context: &Context<'_>, slot: usize) -> String {
    let slot = context.voiced.problem.slots.get(slot);
    slot.map_or_else(String::new, |slot| {
        format!("{} in bar {}", slot.symbol.text(), slot.bar)
    })
}
