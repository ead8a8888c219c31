//! What a player should know about an arrangement that was made.

use std::fmt;
use std::sync::Arc;

use crate::chart::{Slot, Wish};
use crate::hand::{Breach, CAUTION, Sounding};
use crate::voicing::{VoicedNote, Voicing};

use super::Settings;

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
    /// A voicing that the chart gives is held although it breaks a rule.
    GivenBreaks {
        /// The written bar.
        bar: usize,
        /// The chord.
        symbol: String,
        /// What it breaks.
        breach: Breach,
    },
    /// The reach allows stretches wider than a ninth.
    WideReach,
}

impl Warning {
    /// What the reader can do about it.
    pub fn advice(&self) -> Option<&'static str> {
        match self {
            Self::Thinned { .. } => Some(
                "`compline options` shows what is left there; a wider range (--low, --high) may help",
            ),
            Self::GivenBreaks { .. } => Some("it is held as given; write ? to have it planned"),
            Self::WideReach => None,
        }
    }
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Thinned { bars, wanted } => {
                let plural = if bars.len() == 1 { "" } else { "s" };
                let bars = runs(bars);
                write!(
                    f,
                    "thinned out in bar{plural} {bars}: no {wanted} voicing fits there"
                )
            }
            Self::GivenBreaks {
                bar,
                symbol,
                breach,
            } => write!(
                f,
                "bar {bar}, {symbol}: the given voicing breaks a rule: {breach}"
            ),
            Self::WideReach => f.write_str(CAUTION),
        }
    }
}

/// Rising numbers, those in a row as `3-6`.
fn runs(numbers: &[usize]) -> String {
    let runs = numbers.chunk_by(|a, b| a + 1 == *b);
    let texts: Vec<String> = runs
        .flat_map(|run| match run {
            [first, _, .., last] => vec![format!("{first}-{last}")],
            few => few.iter().map(usize::to_string).collect(),
        })
        .collect();
    texts.join(", ")
}

/// Every warning about slots and their candidates.
pub(super) fn all(
    slots: &[Slot],
    candidates: &[Arc<Vec<Voicing>>],
    settings: &Settings,
) -> Vec<Warning> {
    let wide = settings.voicing.hand.reach.is_wide();
    thinned(slots, candidates, settings)
        .into_iter()
        .chain(given(slots, candidates, settings))
        .chain(wide.then_some(Warning::WideReach))
        .collect()
}

fn thinned(
    slots: &[Slot],
    candidates: &[Arc<Vec<Voicing>>],
    settings: &Settings,
) -> Option<Warning> {
    let mut bars: Vec<usize> = slots
        .iter()
        .zip(candidates)
        .filter(|(_, found)| found.first().is_some_and(|voicing| voicing.thinned))
        .map(|(slot, _)| slot.bar)
        .collect();
    bars.dedup();
    let wanted = settings.voicing.palette.names().next()?;
    (!bars.is_empty()).then_some(Warning::Thinned { bars, wanted })
}

fn given(slots: &[Slot], candidates: &[Arc<Vec<Voicing>>], settings: &Settings) -> Vec<Warning> {
    let held = slots
        .iter()
        .zip(candidates)
        .filter(|(slot, _)| matches!(slot.wish, Wish::Given(_)));
    held.filter_map(|(slot, found)| Some((slot, slot.symbol.chord()?, found.first()?)))
        .flat_map(|(slot, chord, voicing)| {
            let notes: Vec<Sounding> = voicing.notes.iter().map(sounding).collect();
            let melody: &[_] = if settings.ignore_melody {
                &[]
            } else {
                &slot.melody
            };
            let breaches = settings.voicing.hand.judge(chord, &notes, melody);
            breaches.into_iter().map(|breach| Warning::GivenBreaks {
                bar: slot.bar,
                symbol: chord.symbol().to_owned(),
                breach,
            })
        })
        .collect()
}

fn sounding(note: &VoicedNote) -> Sounding {
    Sounding {
        pitch: note.pitch,
        degree: note.degree,
    }
}
