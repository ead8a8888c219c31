//! The fewest voicings that have to change for a restless hand to come within its allowance.
//!
//! The engine counts: every legal voicing that takes the place of a given one weighs 1, and of all
//! plans within the allowance the lightest is asked for, the one of least motion among those. The
//! wishes for the steps are kept, and so is a voicing that breaks a rule with a waiver. On a chart of more than [`LONGEST`] given voicings, on one too
//! entangled, and where the wishes leave no such plan, a simple method answers, which says that it is none
//! that is proved.

use std::collections::BTreeMap;

use super::put_back::put_back;
use super::subject::Subject;
use crate::arrange::value;
use crate::optimise::{Budget, Edge, Model, Value};
use crate::voicing::Voicing;

/// The most given voicings among which the fewest are looked for.
const LONGEST: usize = 512;

/// Voicings that take the place of others.
pub(super) struct Fewest {
    /// The new voicings, by slot.
    pub changes: BTreeMap<usize, Voicing>,
    /// The motion of the whole performance with them.
    pub after: u64,
    /// Whether it is proved that no fewer would do.
    pub proved: bool,
}

/// The fewest changes; `None` where there is no better plan to begin with.
pub(super) fn fewest(subject: &Subject<'_>) -> Option<Fewest> {
    let short = subject.given().nth(LONGEST).is_none();
    let exact = short.then(|| counted(subject)).flatten();
    exact.or_else(|| {
        let (changes, after) = put_back(subject)?;
        let proved = changes.len() == 1;
        Some(Fewest {
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

fn counted(subject: &Subject<'_>) -> Option<Fewest> {
    let (_, best) = subject.best.as_ref()?;
    let most = subject.settings.restless.most(best.cost.effort);
    let choices = choices(subject);
    let found = model(subject, &choices).lightest_within(most, Budget::default());
    let found = found.ok()??;
    let taken = choices.iter().zip(&found.plan.choice);
    let changed = taken.filter(|(choice, index)| choice.given && **index > 0);
    let changes = changed.filter_map(|(choice, index)| {
        let voicing = choice.voicings.get(*index)?;
        Some((choice.slot, (*voicing).clone()))
    });
    Some(Fewest {
        changes: changes.collect(),
        after: found.plan.cost.effort,
        proved: found.plan.optimal && found.weight == found.at_least,
    })
}

/// The left hand with all that may sound in each slot.
fn model(subject: &Subject<'_>, choices: &[Choice<'_>]) -> Model {
    let (mut model, hand) = (Model::new(), &subject.hand);
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
fn choices<'a>(subject: &'a Subject<'_>) -> Vec<Choice<'a>> {
    let slots = 0..subject.voiced.problem.slots.len();
    let sounding = slots.filter(|slot| subject.hand.voicing(*slot).is_some());
    let choice = |slot: usize| {
        let given = subject.voiced.given.get(slot).and_then(Option::as_ref);
        let other =
            |voicing: &&Voicing| given.is_none_or(|given| given.by_pitches(voicing).is_ne());
        let legal = match given {
            Some(_) if subject.is_meant(slot) => &[],
            _ => subject.voiced.choices(slot),
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
