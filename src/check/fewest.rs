//! The fewest voicings that have to change for a restless hand to come within its allowance.
//!
//! The planner counts: every legal voicing that takes the place of a given one weighs 1, and of all
//! plans within the allowance the lightest is asked for, the one of least motion among those. The
//! wishes for the steps are kept, and so is a voicing that breaks a rule with a waiver. On a chart of more than [`LONGEST`] given voicings, on one too
//! entangled, and where the wishes leave no such plan, a simple method answers, which says that it is none
//! that is proved.

use std::collections::BTreeMap;

use super::put_back::put_back;
use super::subject::Subject;
use crate::arrange::row;
use crate::plan::{Budget, Lattice, Passage, Point, State};
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

/// What may stand at a point of the plan.
struct Choice<'a> {
    slot: usize,
    voicings: Vec<&'a Voicing>,
    given: bool,
}

fn counted(subject: &Subject<'_>) -> Option<Fewest> {
    let (_, best) = subject.best.as_ref()?;
    let most = subject.settings.restless.most(best.cost.motion);
    let choices = choices(subject);
    let points: Vec<Point> = choices
        .iter()
        .map(|choice| point(subject, choice))
        .collect();
    let performance = &subject.hand;
    let at = |slot: usize| {
        choices
            .binary_search_by_key(&slot, |choice| choice.slot)
            .ok()
    };
    let passages = performance.links().filter_map(|link| {
        let passage = Passage::loose(at(link.from)?, at(link.to)?);
        Some(passage.taken(link.times).ruled(link.rule))
    });
    let lattice = Lattice::new(&points, performance.centre(), passages.collect());
    let found = lattice.fewest_within(most, Budget::default()).ok()??;
    let solution = &found.solution;
    let taken = choices.iter().zip(&solution.choice);
    let changed = taken.filter(|(choice, index)| choice.given && **index > 0);
    let changes = changed.filter_map(|(choice, index)| {
        let voicing = choice.voicings.get(*index)?;
        Some((choice.slot, (*voicing).clone()))
    });
    Some(Fewest {
        changes: changes.collect(),
        after: solution.cost.motion,
        proved: solution.optimal && solution.weight == found.at_least,
    })
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

fn point(subject: &Subject<'_>, choice: &Choice<'_>) -> Point {
    let states = choice.voicings.iter().enumerate();
    let states = states.filter_map(|(index, voicing)| {
        let weight = u32::from(choice.given && index > 0);
        Some(State::new(row(voicing)?).weighing(weight))
    });
    Point {
        states: states.collect(),
        visits: subject.hand.visits(choice.slot),
    }
}
