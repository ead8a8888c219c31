//! What could stand instead of a chart's chords: the proposals of every technique, over the whole page.
//!
//! The techniques see one stretch of a page at a time ([`stretches`]), each chord in the key it
//! stands in; here the stretches are cut, and what they propose is numbered and laid back on the page.
//! Which of the proposals make the hand move least is [`super::changes`]'s question.

use std::ops::Range;

use super::{Proposal, Ways, proposals_at, stretches};
use crate::arrange::{Problem, Settings, Trouble};
use crate::chart::{Beats, Chart, Replacement, Slot};
use crate::chord::Chord;
use crate::harmony::{Passage, Spot};

/// A proposal at its place on the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// Its number in the list, from 1.
    pub number: usize,
    /// What is proposed, and why.
    pub proposal: Proposal,
    /// The slots it replaces.
    pub slots: Range<usize>,
    /// The chords it replaces.
    pub replaced: Vec<String>,
}

impl Listed {
    /// The first and the last written bar it touches, counted from 1.
    pub fn bars(&self) -> (usize, usize) {
        let bars = || self.proposal.chords.iter().map(|new| new.bar);
        (bars().min().unwrap_or(0), bars().max().unwrap_or(0))
    }

    /// The new chords for the old ones, as `Abm7 Db7 for G7`; one that goes on over a bar line once.
    pub fn in_short(&self) -> String {
        let mut new: Vec<&str> = Vec::new();
        for chord in &self.proposal.chords {
            let symbol = chord.chord.symbol();
            if new.last() != Some(&symbol) {
                new.push(symbol);
            }
        }
        let mut old = self.replaced.clone();
        old.dedup();
        format!("{} for {}", new.join(" "), old.join(" "))
    }

    /// Whether both replace the same chord: then only one of them can be taken.
    pub fn meets(&self, other: &Self) -> bool {
        self.slots.start < other.slots.end && other.slots.start < self.slots.end
    }

    /// It as the page takes it.
    pub fn replacement(&self) -> Replacement {
        Replacement {
            slots: self.slots.clone(),
            chords: self.proposal.chords.clone(),
        }
    }
}

/// Every proposal for a chart that its tune accepts: by first slot, then in the order of the
/// techniques. What the arranger has settled (given notes, wishes) is left alone.
///
/// # Errors
///
/// A play order that can't be played.
pub fn reharm(chart: &Chart, settings: &Settings, ways: &Ways) -> Result<Vec<Listed>, Trouble> {
    let problem = Problem::of(chart, settings)?;
    let Problem { slots, keys, .. } = &problem;
    let bar_beats = |slot: &Slot| chart.bar_at(slot.place).map_or(0, |bar| bar.beats);
    let mut listed = Vec::new();
    for stretch in stretches(slots, &problem.performance) {
        let here = slots.get(stretch.clone()).unwrap_or_default();
        let keys = keys.get(stretch.clone()).unwrap_or_default();
        let spots: Vec<Spot<'_>> = here
            .iter()
            .zip(keys)
            .filter_map(|(slot, key)| {
                let spot = Spot::of(slot, *key, Beats::whole(bar_beats(slot).into()))?;
                let tune = if settings.ignore_melody {
                    &[]
                } else {
                    spot.tune
                };
                Some(Spot { tune, ..spot })
            })
            .collect();
        let next = next_chord(&problem, &stretch);
        let passage = Passage {
            spots: &spots,
            next,
        };
        for at in 0..spots.len() {
            let found = ways
                .techniques()
                .flat_map(|way| proposals_at(way, &passage, at));
            for proposal in found {
                let range = proposal.spots.clone();
                let replaced = spots.get(range.clone()).unwrap_or_default();
                listed.push(Listed {
                    number: listed.len() + 1,
                    slots: stretch.start + range.start..stretch.start + range.end,
                    replaced: replaced
                        .iter()
                        .map(|s| s.chord.symbol().to_owned())
                        .collect(),
                    proposal,
                });
            }
        }
    }
    Ok(listed)
}

/// The chord that is played after a stretch, the first time it is.
fn next_chord<'a>(problem: &'a Problem<'_>, stretch: &Range<usize>) -> Option<&'a Chord> {
    let mut after = problem.performance.after_first(stretch.end.checked_sub(1)?);
    after.find_map(|slot| problem.slots.get(slot)?.symbol.chord())
}
