//! What could stand instead of a chart's chords: the proposals of every technique, over the whole page.
//!
//! The techniques see one stretch of a page at a time ([`stretches`]), each chord in the key it
//! stands in; here the stretches are cut, and what they propose is named, judged and laid back on the page.
//! Which of the proposals to take is [`super::changes`]'s question.

use std::collections::BTreeSet;
use std::ops::Range;

use super::in_rhythm::in_rhythm;
use super::neighbours::{Neighbours, nexts};
use super::phrase::Phrases;
use super::techniques::Technique;
use super::{
    AskedPlaces, HeldBy, HeldPlaces, InPlace, Judgement, Language, Proposal, ProposalName, Ways,
    proposals_at, stretches,
};
use crate::arrange::{Problem, Settings, Trouble};
use crate::chart::{Chart, NewChord, Replacement, Slot};
use crate::chord::Chord;
use crate::harmony::{Passage, Spot};
use crate::pitch::Key;

/// A proposal at its place on the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// What is proposed, and why.
    pub proposal: Proposal,
    /// The slots it replaces.
    pub slots: Range<usize>,
    /// The chords it replaces.
    pub replaced: Vec<String>,
    /// The new chords that aren't written there already: two proposals that agree in them make the same page.
    pub what_changes: Vec<NewChord>,
    /// The key its first chord stands in.
    pub key: Option<Key>,
    /// Its name, which stays when other proposals come and go.
    pub name: ProposalName,
    /// What is judged of it.
    pub judgement: Judgement,
    /// Whether it lies in one phrase: four bars of a section, or what is left of them at its end.
    pub in_a_phrase: bool,
    /// How often its first chord is played.
    pub times: u64,
    /// By how much the effort of the whole tune grows with it, the best voicings around it; `None` until
    /// [`priced`](super::priced) finds it.
    pub price: Option<i64>,
}

impl Listed {
    /// The first and the last written bar it touches, counted from 1.
    pub fn bars(&self) -> (usize, usize) {
        let bars = || self.proposal.chords.iter().map(|new| new.bar);
        (bars().min().unwrap_or(0), bars().max().unwrap_or(0))
    }

    /// The old chords, one that goes on over a bar line once.
    pub fn was(&self) -> String {
        let mut old = self.replaced.clone();
        old.dedup();
        old.join(" ")
    }

    /// The new chords, those of a bar with their beats where they don't share it equally.
    pub fn becomes(&self) -> String {
        in_rhythm(&self.proposal.chords)
    }

    /// The new chords for the old ones, as `Abm7 Db7 for G7`.
    pub fn in_short(&self) -> String {
        format!("{} for {}", self.becomes(), self.was())
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

/// What there is to propose for a chart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposed {
    /// The proposals: by first slot, then in the order of the techniques.
    pub listed: Vec<Listed>,
    /// What holds each slot.
    pub held: HeldPlaces,
    /// What there would be besides if nothing were held.
    pub kept_out: Vec<KeptOut>,
}

/// A proposal that would take what is held.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptOut {
    /// Its name.
    pub name: ProposalName,
    /// The slots it would replace.
    pub slots: Range<usize>,
    /// What it would take.
    pub holds: BTreeSet<HeldBy>,
}

/// Every proposal for a chart that its melody accepts and its held places allow: by first slot, then in
/// the order of the techniques. What the arranger has settled (given notes, wishes) is left alone.
///
/// # Errors
///
/// A play order that can't be played.
pub fn reharm(
    chart: &Chart,
    settings: &Settings,
    ways: &Ways,
    asked: &AskedPlaces,
) -> Result<Proposed, Trouble> {
    let problem = Problem::of(chart, settings)?;
    let neighbours = Neighbours::of(&problem);
    let phrases = Phrases::of(&problem.slots);
    let language = Language::of(&problem.slots, &problem.keys, chart.tempo());
    let mut proposed = Proposed {
        listed: Vec::new(),
        held: HeldPlaces::of(&problem, asked),
        kept_out: Vec::new(),
    };
    for stretch in stretches(&problem.slots, &problem.performance) {
        let spots = spots(&problem, stretch.clone());
        let nexts = nexts(&problem, &stretch);
        let place = Placed {
            problem: &problem,
            neighbours: &neighbours,
            phrases: &phrases,
            language,
            tempo: chart.tempo(),
            spots: &spots,
            start: stretch.start,
        };
        for at in 0..spots.len() {
            for way in ways.techniques() {
                let found = whatever_follows(way, &spots, &nexts, at);
                place.list(found, &mut proposed);
            }
        }
    }
    Ok(proposed)
}

/// The chords of a stretch as the techniques see them.
fn spots<'a>(problem: &'a Problem<'_>, stretch: Range<usize>) -> Vec<Spot<'a>> {
    let here = problem.slots.get(stretch.clone()).unwrap_or_default();
    let keys = problem.keys.get(stretch).unwrap_or_default();
    let spots = here.iter().zip(keys).filter_map(|(slot, key)| {
        let spot = Spot::of(slot, *key)?;
        let melody_notes = match problem.settings.ignore_melody {
            true => &[],
            false => spot.melody_notes,
        };
        Some(Spot {
            melody_notes,
            ..spot
        })
    });
    spots.collect()
}

/// What a technique proposes at a spot whichever way the performance goes on, with the reasons of all of
/// them.
fn whatever_follows(
    way: &Technique,
    spots: &[Spot<'_>],
    nexts: &[Option<&Chord>],
    at: usize,
) -> Vec<Proposal> {
    let mut nexts = nexts.iter().map(|next| {
        let passage = Passage { spots, next: *next };
        proposals_at(way, &passage, at)
    });
    let mut found = nexts.next().unwrap_or_default();
    for others in nexts {
        found.retain_mut(|one| {
            let same = |other: &&Proposal| other.spots == one.spots && other.chords == one.chords;
            let other = others.iter().find(same);
            if let Some(other) = other.filter(|other| other.why != one.why) {
                one.also(other);
            }
            other.is_some()
        });
    }
    found
}

/// A proposal's stretch on the page.
struct Placed<'p, 'a> {
    problem: &'p Problem<'p>,
    neighbours: &'p Neighbours,
    phrases: &'p Phrases,
    language: Language,
    tempo: Option<u32>,
    spots: &'p [Spot<'a>],
    /// The stretch's first slot.
    start: usize,
}

impl Placed<'_, '_> {
    /// Adds what a technique proposes at a place, each by its own name.
    fn list(&self, found: Vec<Proposal>, to: &mut Proposed) {
        let mut names: Vec<ProposalName> = Vec::new();
        for proposal in found {
            let slots = self.start + proposal.spots.start..self.start + proposal.spots.end;
            let name = ProposalName::of(&self.problem.slots, slots.clone(), proposal.technique);
            let Some(name) = name else { continue };
            names.push(name);
            let number = names.iter().filter(|one| **one == name).count();
            let name = ProposalName { number, ..name };
            self.judge(proposal, name, slots, to);
        }
    }

    /// Whether a slot begins a section.
    fn opens(&self, at: usize) -> bool {
        let section = |slot: &Slot| slot.place.section;
        let slots = &self.problem.slots;
        let before = at.checked_sub(1).and_then(|before| slots.get(before));
        slots.get(at).map(section) != before.map(section)
    }

    /// Lists a proposal with what is judged of it, or keeps it out.
    fn judge(
        &self,
        proposal: Proposal,
        name: ProposalName,
        slots: Range<usize>,
        to: &mut Proposed,
    ) {
        let old = self.spots.get(proposal.spots.clone()).unwrap_or_default();
        let in_place = InPlace {
            old,
            new: &proposal.chords,
            before: &self.neighbours.before(self.problem, &slots),
            after: &self.neighbours.after(self.problem, &slots),
            language: self.language,
            tempo: self.tempo,
            at: slots.start,
            opens: self.opens(slots.start),
        };
        let holds = to.held.broken(&in_place, slots.start);
        if !holds.is_empty() {
            to.kept_out.push(KeptOut { name, slots, holds });
            return;
        }
        let judgement = Judgement::of(&in_place);
        to.listed.push(Listed {
            replaced: old.iter().map(|s| s.chord.symbol().to_owned()).collect(),
            what_changes: what_changes(&in_place),
            key: old.first().and_then(|spot| spot.key),
            name,
            proposal,
            in_a_phrase: self
                .phrases
                .are_in_one(self.problem.slots.get(slots.clone()).unwrap_or_default()),
            times: self.problem.performance.times(slots.start),
            slots,
            judgement,
            price: None,
        });
    }
}

/// The new chords that aren't written just there, for just as long.
fn what_changes(proposal: &InPlace<'_>) -> Vec<NewChord> {
    let is_written = |new: &&NewChord| {
        let mut old = proposal.old.iter();
        old.any(|spot| {
            let place = (spot.bar, spot.beat, spot.beats);
            place == (new.bar, new.beat, new.beats) && spot.chord == &new.chord
        })
    };
    let new = proposal.new.iter();
    new.filter(|new| !is_written(new)).cloned().collect()
}
