//! The fewest voicings that have to change for a restless hand to come within its allowance.
//!
//! The engine counts: every legal voicing that takes the place of a given one weighs 1, and of all
//! plans within the allowance the lightest is asked for, the one of least effort among those. The
//! wishes for the steps are kept, and so is a voicing that breaks a rule with a suppression. On a chart of more than [`LONGEST`] given voicings, on one too
//! entangled, and where the wishes leave no such plan, a simple method answers, which says that it is none
//! that is proved.

use std::collections::BTreeMap;

use super::context::Context;
use super::greedy_repair::greedy_repair;
use crate::arrange::value;
use crate::optimise::{Budget, Edge, Model, Value};
use crate::voicing::Voicing;

/// The most given voicings among which the fewest are looked for.
const LONGEST: usize = 512;

/// Voicings that take the place of others.
pub(super) struct MinimalRepair {
    /// The new voicings, by slot.
    pub changes: BTreeMap<usize, Voicing>,
    /// The effort of the whole performance with them.
    pub after: u64,
    /// Whether it is proved that no fewer would do.
    pub proved: bool,
}

/// The fewest changes; `None` where there is no better plan to begin with.
pub(super) fn minimal_repair(context: &Context<'_>) -> Option<MinimalRepair> {
    let short = context.given().nth(LONGEST).is_none();
    let exact = short.then(|| counted(context)).flatten();
    exact.or_else(|| {
        let (changes, after) = greedy_repair(context)?;
        let proved = changes.len() == 1;
        Some(MinimalRepair {
            changes,
            after,
            proved,
        })
    })
}

/// What may sound in a slot.
struct Choice<'a> {
    slot: usize,
    voicings: Vec<&'a Voicing>,
    given: bool,
}

fn counted(context: &Context<'_>) -> Option<MinimalRepair> {
    let (_, best) = context.best.as_ref()?;
    let most = context.settings.restless.most(best.cost.effort);
    let choices = choices(context);
    let found = model(context, &choices).lightest_within(most, Budget::default());
    let found = found.ok()??;
    let taken = choices.iter().zip(&found.plan.choice);
    let changed = taken.filter(|(choice, index)| choice.given && **index > 0);
    let changes = changed.filter_map(|(choice, index)| {
        let voicing = choice.voicings.get(*index)?;
        Some((choice.slot, (*voicing).clone()))
    });
    Some(MinimalRepair {
        changes: changes.collect(),
        after: found.plan.cost.effort,
        proved: found.plan.optimal && found.weight == found.at_least,
    })
}

/// The left hand with all that may sound in each slot.
fn model(context: &Context<'_>, choices: &[Choice<'_>]) -> Model {
    let (mut model, hand) = (Model::new(), &context.hand);
    for choice in choices {
        let voicings = choice.voicings.iter().enumerate();
        let values = voicings.filter_map(|(index, voicing)| {
            Some(Value {
                weight: u32::from(choice.given && index > 0),
                ..value(voicing, hand.centre())?
            })
        });
        let domain = model.domain(values);
        model.variable(domain, hand.visits(choice.slot));
    }
    let at = |slot: usize| choices.binary_search_by_key(&slot, |choice| choice.slot);
    for link in hand.links() {
        if let (Ok(from), Ok(to)) = (at(link.from), at(link.to)) {
            model.edge(Edge {
                count: link.times,
                rule: link.rule,
                ..Edge::new(from, to)
            });
        }
    }
    model
}

/// What may sound in every slot that sounds; where the chart gives a voicing, that one first.
fn choices<'a>(context: &'a Context<'_>) -> Vec<Choice<'a>> {
    let slots = 0..context.voiced.problem.slots.len();
    let sounding = slots.filter(|slot| context.hand.voicing(*slot).is_some());
    let choice = |slot: usize| {
        let given = context.voiced.given.get(slot).and_then(Option::as_ref);
        let other =
            |voicing: &&Voicing| given.is_none_or(|given| given.by_pitches(voicing).is_ne());
        let legal = match given {
            Some(_) if context.is_meant(slot) => &[],
            _ => context.voiced.choices(slot),
        };
        let legal = legal.iter().filter(other);
        Choice {
            slot,
            voicings: given.into_iter().chain(legal).collect(),
            given: given.is_some(),
        }
    };
    sounding.map(choice).collect()
}
