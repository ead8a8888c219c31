//! Wishes put into a chart from outside, at a written bar.

use std::fmt;

use super::{Bar, Chart, Contradiction, Slot, Wish};

/// Why an entry can't be put into a chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotWished {
    /// There is no such bar.
    NoBar {
        /// How many the chart has.
        bars: usize,
    },
    /// The bar has no such chord.
    NoChord {
        /// How many it has.
        chords: usize,
    },
    /// There is silence where something is wished.
    Silence,
    /// One voicing for a bar of several chords.
    WhichChord {
        /// How many it has.
        chords: usize,
    },
    /// What is wished contradicts what was wished there before.
    Against(Contradiction),
    /// The slot's voicing or silence is given already.
    Given,
    /// A voicing or silence is given where there are wishes already.
    GivenOver,
}

impl fmt::Display for NotWished {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoBar { bars: 1 } => f.write_str("the chart has only bar 1"),
            Self::NoBar { bars } => write!(f, "the written bars are 1 to {bars}"),
            Self::NoChord { chords: 1 } => f.write_str("the bar has one chord"),
            Self::NoChord { chords } => write!(f, "the bar has chords 1 to {chords}"),
            Self::Silence => f.write_str("there is no chord, so there is nothing to wish for"),
            Self::WhichChord { chords } => {
                write!(f, "the bar has {chords} chords: say for which one the voicing is")
            }
            Self::Against(contradiction) => contradiction.fmt(f),
            Self::Given => f.write_str(
                "what the left hand plays there is given already; wish `?` first to have it planned",
            ),
            Self::GivenOver => f.write_str(
                "something is wished there already; wish `?` first to have that forgotten",
            ),
        }
    }
}

impl std::error::Error for NotWished {}

impl Chart {
    /// The chart with one more `lh` entry: at a written bar, counted from 1, for its chord of this
    /// number, counted from 1, or for every chord of the bar.
    ///
    /// Wishes are added to those the chart has there. A lone `?` takes back whatever it has there. Notes
    /// and silence can be put only where nothing else is wished or given.
    ///
    /// ```
    /// let chart = compline::chart::read("| Dm7 G7 | Cmaj7 |\nlh | ?leap=5 | ? |").unwrap();
    /// let wished = chart.wished(1, Some(2), &"?A".parse().unwrap()).unwrap();
    /// assert_eq!(wished.tidy(), "     | Dm7     G7        | Cmaj7 |\nlh   | ?leap=5 ?A,leap=5 | ?     |\n");
    /// let no_bar = chart.wished(3, None, &"?A".parse().unwrap()).unwrap_err();
    /// assert_eq!(no_bar.to_string(), "the written bars are 1 to 2");
    /// ```
    ///
    /// # Errors
    ///
    /// [`NotWished`]: no such place, or a contradiction to what is there.
    pub fn wished(
        &self,
        bar: usize,
        chord: Option<usize>,
        entry: &Wish,
    ) -> Result<Self, NotWished> {
        let slots: Vec<Slot> = self
            .slots()
            .into_iter()
            .filter(|slot| slot.bar == bar)
            .collect();
        if slots.is_empty() {
            let bars = self.bars().count();
            return Err(NotWished::NoBar { bars });
        }
        let chosen = chosen(&slots, chord, entry)?;
        let mut chart = self.clone();
        for slot in chosen {
            let joined = joined(&slot.wish, entry)?;
            chart.set(slot, joined);
        }
        Ok(chart)
    }

    /// Sets a slot's entry, giving its line an `lh` row if it has none.
    fn set(&mut self, slot: &Slot, entry: Wish) {
        let chords: Vec<usize> = self.chords_of_line(slot);
        let line = self.sections.get_mut(slot.place.section);
        let Some(line) = line.and_then(|section| section.lines.get_mut(slot.place.line)) else {
            return;
        };
        for (bar, chords) in line.bars.iter_mut().zip(chords) {
            fill(bar, chords);
        }
        let hand = line
            .bars
            .get_mut(slot.place.bar)
            .and_then(|bar| bar.hand.as_mut());
        if let Some(old) = hand.and_then(|hand| hand.get_mut(slot.place.chord)) {
            *old = entry;
        }
    }

    /// How many chords sound in each bar of the slot's line.
    fn chords_of_line(&self, slot: &Slot) -> Vec<usize> {
        let mut chords = Vec::new();
        let here = |place: &super::Place| {
            (place.section, place.line) == (slot.place.section, slot.place.line)
        };
        for place in self.slot_places().iter().filter(|place| here(place)) {
            if chords.len() <= place.bar {
                chords.resize(place.bar + 1, 0);
            }
            if let Some(count) = chords.get_mut(place.bar) {
                *count += 1;
            }
        }
        chords
    }
}

fn fill(bar: &mut Bar, chords: usize) {
    bar.hand.get_or_insert_default().resize(chords, Wish::PLAN);
}

/// The slots of a bar that an entry is for.
fn chosen<'a>(
    slots: &'a [Slot],
    chord: Option<usize>,
    entry: &Wish,
) -> Result<Vec<&'a Slot>, NotWished> {
    let chords = slots.len();
    let chosen = match chord {
        Some(chord) => {
            let slot = chord.checked_sub(1).and_then(|at| slots.get(at));
            vec![slot.ok_or(NotWished::NoChord { chords })?]
        }
        None => slots.iter().collect(),
    };
    let sounding: Vec<&Slot> = chosen
        .into_iter()
        .filter(|slot| slot.symbol.chord().is_some())
        .collect();
    match (sounding.len(), entry) {
        (0, _) => Err(NotWished::Silence),
        (2.., Wish::Given(_)) => Err(NotWished::WhichChord { chords }),
        _ => Ok(sounding),
    }
}

/// What a slot's entry becomes when another is added.
fn joined(old: &Wish, new: &Wish) -> Result<Wish, NotWished> {
    match (old, new) {
        (_, Wish::Plan(new)) if new.is_empty() => Ok(Wish::PLAN),
        (Wish::Plan(old), Wish::Plan(new)) => {
            let both = old.clone().and(new.clone());
            both.map(Wish::Plan).map_err(NotWished::Against)
        }
        (Wish::Plan(old), new) if old.is_empty() => Ok(new.clone()),
        (Wish::Plan(_), _) => Err(NotWished::GivenOver),
        (old, new) if old == new => Ok(new.clone()),
        _ => Err(NotWished::Given),
    }
}
