//! The fewest voicings that have to change for a restless hand to come within its allowance.
//!
//! The engine counts: every legal voicing that takes the place of a given one weighs 1, and of all
//! plans within the allowance the lightest is asked for, the one of least effort among those. The
//! wishes for the steps are kept, and so is a voicing that is suppressed, or that another finding replaces. On a chart of more than [`LONGEST`] given voicings, on one too
//! entangled, and where the wishes leave no such plan, a simple method answers, which says that it is none
//! that is proved.

use std::collections::BTreeMap;

use super::greedy_repair::greedy_repair;
use super::motion::Motion;
use crate::arrange::value;
use crate::optimise::{Budget, Edge, Model, Value};
use crate::voicing::Voicing;

/// The most given voicings among which the fewest are looked for.
const LONGEST: usize = 512;

/// Voicings that take the place of others.
pub(super) struct MinimalRepair {
    /// The new voicings, by slot.
    pub changes: BTreeMap<usize, Voicing>,
    /// Whether it is proved that no fewer would do.
    pub proved: bool,
}

/// The fewest changes; `None` where there is no better plan to begin with.
pub(super) fn minimal_repair(motion: &Motion<'_>) -> Option<MinimalRepair> {
    let short = motion.given_slots().nth(LONGEST).is_none();
    let exact = short.then(|| counted(motion)).flatten();
    exact.or_else(|| {
        let changes = greedy_repair(motion)?;
        let proved = changes.len() == 1;
        Some(MinimalRepair { changes, proved })
    })
}

/// What may sound in a slot.
struct Choice<'a> {
    slot: usize,
    voicings: Vec<&'a Voicing>,
    given: bool,
}

fn counted(motion: &Motion<'_>) -> Option<MinimalRepair> {
    let (_, best) = motion.best.as_ref()?;
    let most = motion.context.settings.restless.most(best.cost.effort);
    let choices = choices(motion);
    let found = model(motion, &choices).lightest_within(most, Budget::default());
    let found = found.ok()??;
    let taken = choices.iter().zip(&found.plan.choice);
    let changed = taken.filter(|(choice, index)| choice.given && **index > 0);
    let changes = changed.filter_map(|(choice, index)| {
        let voicing = choice.voicings.get(*index)?;
        Some((choice.slot, (*voicing).clone()))
    });
    Some(MinimalRepair {
        changes: changes.collect(),
        proved: found.plan.optimal && found.weight == found.at_least,
    })
}

/// The left hand with all that may sound in each slot.
fn model(motion: &Motion<'_>, choices: &[Choice<'_>]) -> Model {
    let (mut model, hand) = (Model::new(), &*motion.hand);
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

/// What may sound in every slot that sounds, what sounds there now first.
fn choices<'a>(motion: &'a Motion<'_>) -> Vec<Choice<'a>> {
    let slots = 0..motion.context.voiced.problem.slots.len();
    let given = |slot: usize| motion.given.get(slot).is_some_and(Option::is_some);
    let choice = |slot: usize| {
        let now = motion.hand.voicing(slot)?;
        let other = |voicing: &&Voicing| now.by_pitches(voicing).is_ne();
        let legal = motion.choices(slot).iter().filter(other);
        Some(Choice {
            slot,
            voicings: std::iter::once(now).chain(legal).collect(),
            given: given(slot),
        })
    };
    slots.filter_map(choice).collect()
}
