//! Places that are held: where nothing else may stand unless it is asked for.
//!
//! They are a gate, not a number. A pianist's marks of 503 proposals over 15 tunes say why: rules like
//! these keep out 47 of 52 that were marked wrong, and cost 4 of 276 that were marked good. Each rule has
//! a file of its own, which finds the places it holds; what it lets through there stands on its [`HeldBy`].

mod arrival;
mod asked;
mod first;
mod keeps;
mod last_tonic;
mod line;
mod marked;
mod page;
mod pedal;
mod six_four;
#[cfg(test)]
mod tests;
mod walking_bass;

use std::collections::BTreeSet;

use super::in_place::InPlace;
use crate::arrange::Problem;

pub use asked::AskedPlaces;
use keeps::keeps;
use page::HeldPage;

/// Why a chord is held, and so what must stay of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HeldBy {
    /// The chart marks it: it stays as it is.
    Marked,
    /// It was asked for: it stays as it is.
    Asked,
    /// The first chord of the form: what begins there has its root and its third, and is no dominant where it is
    /// none.
    First,
    /// The last tonic of the tune: it is still the last.
    LastTonic,
    /// The tonic on which a phrase ends after its dominant: it may come late, but it comes.
    Arrival,
    /// The dominant before such an arrival: what leads there is a dominant.
    Dominant,
    /// Part of a line on one root: it stays as it is.
    Line,
    /// The end of a line on one root: its beginning stays.
    LineEnd,
    /// Part of a bass that walks: it stays as it is.
    WalkingBass,
    /// Part of a passage over one bass: it stays as it is.
    Pedal,
    /// A cadence's six-four or its dominant: where they meet, the bass is the dominant's root.
    SixFour,
}

impl HeldBy {
    /// Its name in JSON.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Marked => "marked",
            Self::Asked => "asked",
            Self::First => "first",
            Self::LastTonic => "last-tonic",
            Self::Arrival => "arrival",
            Self::Dominant => "dominant",
            Self::Line => "line",
            Self::LineEnd => "line-end",
            Self::WalkingBass => "walking-bass",
            Self::Pedal => "pedal",
            Self::SixFour => "six-four",
        }
    }
}

/// A rule: the places of a row that it holds, each with the reason.
type HoldRule = fn(&HeldPage<'_>) -> Vec<(usize, HeldBy)>;

/// The rules, in the order in which what they hold is listed.
const RULES: [HoldRule; 8] = [
    marked::marked,
    first::first,
    last_tonic::last_tonic,
    arrival::arrivals,
    line::lines,
    walking_bass::walking_basses,
    pedal::pedals,
    six_four::six_fours,
];

/// What holds each slot of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeldPlaces(Vec<Vec<HeldBy>>);

impl HeldPlaces {
    /// Those of a page, with what was asked for besides.
    pub(crate) fn of(problem: &Problem<'_>, asked: &AskedPlaces) -> Self {
        let page = HeldPage::of(problem);
        let mut held = Self(vec![Vec::new(); problem.slots.len()]);
        for rule in RULES {
            for (slot, hold) in rule(&page) {
                held.add(slot, hold);
            }
        }
        for slot in &asked.free {
            held.0.get_mut(*slot).into_iter().for_each(Vec::clear);
        }
        for slot in &asked.hold {
            held.add(*slot, HeldBy::Asked);
        }
        held
    }

    fn add(&mut self, slot: usize, hold: HeldBy) {
        let holds = self.0.get_mut(slot);
        if let Some(holds) = holds.filter(|holds| !holds.contains(&hold)) {
            holds.push(hold);
        }
    }

    /// What holds a slot.
    pub fn at(&self, slot: usize) -> &[HeldBy] {
        self.0.get(slot).map(Vec::as_slice).unwrap_or_default()
    }

    /// What a proposal for some slots from `start` on would take away that is held there.
    pub fn broken(&self, proposal: &InPlace<'_>, start: usize) -> BTreeSet<HeldBy> {
        let slots = proposal.old.iter().enumerate();
        let broken = slots.flat_map(|(at, _)| {
            let holds = self.at(start + at).iter().copied();
            holds.filter(move |hold| !keeps(*hold, proposal, at))
        });
        broken.collect()
    }
}
