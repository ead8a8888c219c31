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
mod fingers;
mod foreign_note;
mod half_voiced;
mod heading;
mod melody_at_odds;
mod minor_ninth;
mod missing_tone;
mod muddy;
mod no_voicing;
mod out_of_range;
mod over_the_melody;
mod restless_hand;
mod rubs_the_melody;
mod strange_notes;
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
use super::motion::Motion;
use super::rule::{Fault, FixKind};
use super::step_repair::{GivenStep, StepRepair};
use crate::explain::in_words;
use crate::hand::Violation;
use crate::voicing::Voicing;

pub(super) use waiver::{RULE as WAIVER, unused};

/// Every rule, in the order findings of one slot are listed.
pub static RULES: [&Rule; 23] = [
    &waiver::RULE,
    &heading::RULE,
    &untidy::RULE,
    &two_readings::RULE,
    &half_voiced::RULE,
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
    &fingers::RULE,
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

/// A fault for every given voicing with violations of this kind, which names the first few of them.
pub(super) fn violating(context: &Context<'_>, kind: fn(&Violation) -> bool) -> Vec<Fault> {
    let judged = context.voiced.problem.slots.iter().zip(&context.judged);
    let each = judged.filter_map(|(slot, violations)| {
        let of_kind = || violations.iter().filter(|violation| kind(violation));
        let first = *of_kind().next()?;
        let words = of_kind().map(|violation| in_words(violation, slot));
        Some(Fault {
            place: context.hand_place(slot.index),
            message: few(words),
            fix: FixKind::Slot(slot.index),
            violation: Some(first),
            severity: None,
        })
    });
    each.collect()
}

/// Whether a voicing is the root with one tone above it: what a hand plays in a hurry, or under a bass
/// solo. Powell's shells of two notes (from memory, Levine ch. 17).
fn is_shell_of_two(voicing: &Voicing) -> bool {
    match &*voicing.notes {
        [root, tone] => root.degree.class() == 0 && matches!(tone.degree.class(), 3 | 4 | 9..=11),
        _ => false,
    }
}

/// So many things of one voicing are named; the rest are counted.
const NAMED: usize = 3;

/// The first few of these, each once, and how many more there are.
fn few(words: impl Iterator<Item = String>) -> String {
    let mut all: Vec<String> = Vec::new();
    for word in words {
        if !all.contains(&word) {
            all.push(word);
        }
    }
    let more = all.len().saturating_sub(NAMED);
    all.truncate(NAMED);
    if more > 0 {
        all.push(format!("{more} more"));
    }
    all.join("; ")
}

/// A fault for every voicing that has to change for the steps between given voicings to go no further
/// than the `most` semitones wished. `far` says how far a step goes, `what` what goes so far.
fn beyond(
    motion: &Motion<'_>,
    repairs: &[StepRepair],
    most: Option<u8>,
    far: fn(&GivenStep) -> u32,
    what: &str,
) -> Vec<Fault> {
    let fault = |repair: &StepRepair| {
        let each = repair.steps.iter().map(|step| {
            let (way, other) = match step.to == repair.at {
                true => ("from", step.from),
                false => ("to", step.to),
            };
            let other = named(motion.context, other);
            format!("{what} {} semitones {way} {other}", far(step))
        });
        let fix = match repair.voicings.is_empty() {
            true => FixKind::Nothing(
                "no legal voicings on either side of this step keep the wish".to_owned(),
            ),
            false => FixKind::Voicings(repair.voicings.clone()),
        };
        Fault {
            place: motion.context.hand_place(repair.at),
            message: format!(
                "{}: not more than {} are wished",
                few(each),
                most.unwrap_or_default()
            ),
            fix,
            violation: None,
            severity: None,
        }
    };
    repairs.iter().map(fault).collect()
}

/// A slot as messages name it.
fn named(context: &Context<'_>, slot: usize) -> String {
    let slot = context.voiced.problem.slots.get(slot);
    slot.map_or_else(String::new, |slot| {
        format!("{} in bar {}", slot.symbol.text(), slot.bar)
    })
}
