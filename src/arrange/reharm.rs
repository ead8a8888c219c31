//! What could stand instead of a chart's chords: the proposals of every technique, over the whole page.
//!
//! The techniques see one stretch of a page at a time ([`stretches`]), each chord in the key it
//! stands in; here the stretches are cut, and what they propose is numbered and laid back on the page.
//! Which of the proposals make the hand move least is [`super::changes`]'s question.

use std::fmt;
use std::ops::Range;
use std::str::FromStr;

use super::regions::Keyed;
use super::{Settings, Trouble, stretches};
use crate::chart::{Beats, Chart, Replacement, Slot};
use crate::chord::Chord;
use crate::harmony::techniques::{TECHNIQUES, Technique};
use crate::harmony::{Passage, Proposal, Spot, proposals_at};

/// The techniques that are allowed.
///
/// ```
/// # use compline::arrange::Ways;
/// let ways: Ways = "all,-tritone".parse().unwrap();
/// assert!(!ways.names().any(|name| name == "tritone"));
/// assert_eq!("backdoor,related-ii".parse::<Ways>().unwrap().names().count(), 2);
/// assert!("tritones".parse::<Ways>().is_err());
/// ```
#[derive(Debug, Clone)]
pub struct Ways(Vec<&'static Technique>);

impl Ways {
    /// The names, in the order the techniques are listed.
    pub fn names(&self) -> impl Iterator<Item = &'static str> + '_ {
        self.0.iter().map(|technique| technique.name)
    }
}

impl Default for Ways {
    fn default() -> Self {
        Self(TECHNIQUES.to_vec())
    }
}

/// A word that names no technique.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotAWay(String);

impl fmt::Display for NotAWay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(text) = self;
        let known = TECHNIQUES.map(|technique| technique.name).join(", ");
        write!(f, "`{text}` is not a technique: all, {known}")
    }
}

impl std::error::Error for NotAWay {}

impl FromStr for Ways {
    type Err = NotAWay;

    /// Names joined by commas; `all` stands for every one, and a `-` before a name takes it out. A
    /// list that begins by taking out takes out of all.
    fn from_str(text: &str) -> Result<Self, NotAWay> {
        let mut allowed = [false; TECHNIQUES.len()];
        if text.starts_with('-') {
            allowed = [true; TECHNIQUES.len()];
        }
        for word in text.split(',').map(str::trim) {
            let (name, to) = match word.strip_prefix('-') {
                Some(name) => (name, false),
                None => (word, true),
            };
            let is_meant = |technique: &Technique| name == "all" || technique.name == name;
            let mut known = false;
            for (allowed, technique) in allowed.iter_mut().zip(TECHNIQUES) {
                if is_meant(technique) {
                    (*allowed, known) = (to, true);
                }
            }
            if !known {
                return Err(NotAWay(word.to_owned()));
            }
        }
        let chosen = TECHNIQUES
            .iter()
            .zip(allowed)
            .filter(|(_, allowed)| *allowed);
        Ok(Self(chosen.map(|(technique, _)| *technique).collect()))
    }
}

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
/// A road that can't be played.
pub fn reharm(chart: &Chart, settings: &Settings, ways: &Ways) -> Result<Vec<Listed>, Trouble> {
    let Keyed {
        slots,
        played,
        regions,
    } = Keyed::of(chart, settings.looped)?;
    let bar_beats = |slot: &Slot| chart.bar_at(slot.place).map_or(0, |bar| bar.beats);
    let mut listed = Vec::new();
    for stretch in stretches(&slots, &played) {
        let here = slots.get(stretch.clone()).unwrap_or_default();
        let keys = regions.get(stretch.clone()).unwrap_or_default();
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
        let next = next_chord(&slots, &played, stretch.end, settings.looped);
        let passage = Passage {
            spots: &spots,
            next,
        };
        for at in 0..spots.len() {
            let found = ways
                .0
                .iter()
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
fn next_chord<'a>(
    slots: &'a [Slot],
    played: &[usize],
    end: usize,
    looped: bool,
) -> Option<&'a Chord> {
    let last = played.iter().position(|&slot| slot + 1 == end)?;
    let round = played.iter().take(if looped { last + 1 } else { 0 });
    let mut after = played.iter().skip(last + 1).chain(round);
    after.find_map(|&slot| slots.get(slot)?.symbol.chord())
}
