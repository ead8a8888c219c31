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
        let mut wished = WishedChart::of(self.clone());
        wished.add(bar, chord, entry)?;
        Ok(wished.into_chart())
    }
}

/// A chart that wishes are put into, one after the other: its slots are listed once, so that many wishes for
/// many bars cost no more than what they change.
#[derive(Debug)]
pub struct WishedChart {
    chart: Chart,
    /// In the order of the page, each with its entry as it is now.
    slots: Vec<Slot>,
}

impl WishedChart {
    /// A chart with no more in it than it has.
    pub fn of(chart: Chart) -> Self {
        let slots = chart.slots();
        Self { chart, slots }
    }

    /// The chart with what was added.
    pub fn into_chart(self) -> Chart {
        self.chart
    }

    /// One more `lh` entry, as [`Chart::wished`] takes it.
    ///
    /// # Errors
    ///
    /// As there; nothing is added then.
    pub fn add(&mut self, bar: usize, chord: Option<usize>, entry: &Wish) -> Result<(), NotWished> {
        let from = self.slots.partition_point(|slot| slot.bar < bar);
        let to = self.slots.partition_point(|slot| slot.bar <= bar);
        let slots = self.slots.get(from..to).unwrap_or_default();
        if slots.is_empty() {
            let bars = self.chart.bars().count();
            return Err(NotWished::NoBar { bars });
        }
        let chosen = chosen(slots, chord, entry)?;
        let joined = chosen.into_iter().map(|at| {
            let slot = slots.get(at).ok_or(NotWished::Silence)?;
            Ok((from + at, joined(&slot.wish, entry)?))
        });
        for (at, entry) in joined.collect::<Result<Vec<_>, _>>()? {
            self.set(at, entry);
        }
        Ok(())
    }

    /// Sets a slot's entry, giving its line an `lh` row if it has none.
    fn set(&mut self, at: usize, entry: Wish) {
        let chords = self.chords_of_line(at);
        let Some(slot) = self.slots.get_mut(at) else {
            return;
        };
        slot.wish = entry.clone();
        let line = self.chart.sections.get_mut(slot.place.section);
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
    fn chords_of_line(&self, at: usize) -> Vec<usize> {
        let line = |slot: &Slot| (slot.place.section, slot.place.line);
        let here = self.slots.get(at).map(line);
        let from = self.slots.partition_point(|slot| Some(line(slot)) < here);
        let to = self.slots.partition_point(|slot| Some(line(slot)) <= here);
        let slots = self.slots.get(from..to).unwrap_or_default();
        let mut chords = Vec::new();
        for place in slots.iter().map(|slot| &slot.place) {
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

/// Which slots of a bar an entry is for, from 0.
fn chosen(slots: &[Slot], chord: Option<usize>, entry: &Wish) -> Result<Vec<usize>, NotWished> {
    let chords = slots.len();
    let chosen = match chord {
        Some(chord) => {
            let at = chord.checked_sub(1).filter(|at| *at < chords);
            let at = at.ok_or(NotWished::NoChord { chords })?;
            at..at + 1
        }
        None => 0..chords,
    };
    let sounds = |slot: &Slot| slot.symbol.chord().is_some();
    let sounding: Vec<usize> = chosen
        .filter(|at| slots.get(*at).is_some_and(sounds))
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
