//! The warnings about a problem and the candidates of its slots.

use std::sync::Arc;

use super::problem::Problem;
use super::rest::rests;
use super::settings::Settings;
use super::thinned::{Thinned, thinned};
use super::warning::Warning;
use crate::chart::{Slot, Wish};
use crate::hand::{Reach, SoundingNote, Violation};
use crate::voicing::Voicing;

/// Every warning about a problem and its candidates.
pub(super) fn warnings(problem: &Problem<'_>, candidates: &[Arc<Vec<Voicing>>]) -> Vec<Warning> {
    let settings = problem.settings;
    let given = given(&problem.slots, candidates, settings);
    let wide = settings.voicing.hand.reach.is_wide() || given.iter().any(is_stretch);
    of_thinned(thinned(problem, candidates), settings)
        .chain(resting(&problem.slots, candidates))
        .chain(given)
        .chain(wide.then_some(Warning::WideReach))
        .collect()
}

/// The warnings about thinned slots: those a measured hand thinned out, chord by chord, then the rest.
fn of_thinned(thinned: Thinned, settings: &Settings) -> impl Iterator<Item = Warning> {
    let wanted = settings.voicing.palette.names().next().unwrap_or_default();
    let Thinned { beyond_hand, bars } = thinned;
    let measured = match settings.voicing.hand.reach {
        Reach::Span(hand) if !beyond_hand.is_empty() => Some(Warning::BeyondHand {
            hand,
            wanted,
            chords: beyond_hand,
        }),
        _ => None,
    };
    let other = (!bars.is_empty()).then_some(Warning::Thinned { bars, wanted });
    measured.into_iter().chain(other)
}

fn resting(slots: &[Slot], candidates: &[Arc<Vec<Voicing>>]) -> Option<Warning> {
    let silent = slots.iter().zip(candidates);
    let silent = silent.filter(|(slot, found)| rests(slot, found));
    let mut bars: Vec<usize> = silent.map(|(slot, _)| slot.bar).collect();
    bars.dedup();
    (!bars.is_empty()).then_some(Warning::MakesWay { bars })
}

fn is_stretch(warning: &Warning) -> bool {
    let Warning::GivenBreaks { violations, .. } = warning else {
        return false;
    };
    let beyond = |violation: &Violation| matches!(violation, Violation::BeyondHand { .. });
    violations.iter().any(beyond)
}

fn given(slots: &[Slot], candidates: &[Arc<Vec<Voicing>>], settings: &Settings) -> Vec<Warning> {
    let held = slots
        .iter()
        .zip(candidates)
        .filter(|(slot, _)| matches!(slot.wish, Wish::Given(_)));
    held.filter_map(|(slot, found)| Some((slot, slot.symbol.chord()?, found.first()?)))
        .filter_map(|(slot, chord, voicing)| {
            let notes: Vec<SoundingNote> = voicing.notes.iter().map(Into::into).collect();
            let melody = settings.melody(slot);
            let violations = settings.voicing.hand.judge(chord, &notes, (&melody).into());
            (!violations.is_empty()).then(|| Warning::GivenBreaks {
                slot: Box::new(slot.clone()),
                violations,
            })
        })
        .collect()
}
