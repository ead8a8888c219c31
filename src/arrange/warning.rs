//! What a player should know about an arrangement that was made.

use std::sync::Arc;

use crate::chart::{Slot, Wish};
use crate::hand::{Millimetres, Reach, SoundingNote, Violation};
use crate::voicing::Voicing;

use super::rest::rests;
use super::thinned::{Thinned, Thinner, thinned};
use super::{GivenUp, Problem, Settings, Uncarried};

/// Something about an arrangement that its reader should know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Warning {
    /// Some slots had no legal voicing in the first shape.
    Thinned {
        /// The written bars, each once.
        bars: Vec<usize>,
        /// The shape that was wanted.
        wanted: &'static str,
    },
    /// A chord is played without something its symbol asks for, since the melody leaves no room for it.
    GivenUp(GivenUp),
    /// The hand is silent in some slots, since the melody leaves no room for it.
    MakesWay {
        /// The written bars, each once.
        bars: Vec<usize>,
    },
    /// Some chords are beyond the measured hand in the first shape, which would have fitted otherwise.
    BeyondHand {
        /// The hand.
        hand: Millimetres,
        /// The shape that was wanted.
        wanted: &'static str,
        /// The chords, in the order they first come, with what was made of them.
        chords: Vec<Thinner>,
    },
    /// A voicing that the chart gives is held although it breaks rules.
    GivenBreaks {
        /// The slot.
        slot: Box<Slot>,
        /// What it breaks, at least one.
        violations: Vec<Violation>,
    },
    /// Two voicings that the chart gives are held although the step between them is not as wished
    /// for the whole tune.
    GivenStep {
        /// The written bar and the chord the performance comes from.
        from: (usize, String),
        /// Those it comes to.
        to: (usize, String),
        /// The wishes for every step.
        wished: String,
    },
    /// A chord can't carry what the melody sings over it.
    Uncarried(Uncarried),
    /// The reach allows stretches wider than a ninth, or a voicing is held that is beyond the measured
    /// hand.
    WideReach,
}

/// Every warning about a problem and its candidates.
pub(super) fn all(problem: &Problem<'_>, candidates: &[Arc<Vec<Voicing>>]) -> Vec<Warning> {
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
