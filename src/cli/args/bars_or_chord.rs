//! A place of a chart, written alike everywhere: `3`, `3.2` (the second chord of bar 3), `3-6`.

use std::collections::BTreeSet;
use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

use anyhow::{Result, bail};
use compline::chart::{Chart, Slot};
use compline::explain::bars;

/// Written bars, or one chord of a bar; both are counted from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BarsOrChord {
    bars: RangeInclusive<usize>,
    chord: Option<usize>,
}

/// What is expected where a place is none.
const WANTED: &str =
    "place: write 3 for a bar, 3-6 for bars, or 3.2 for the second chord of bar 3, counted from 1";

impl FromStr for BarsOrChord {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (bar, chord) = match text.split_once('.') {
            Some((bar, chord)) => (bar, Some(chord)),
            None => (text, None),
        };
        let chord = chord.map(|chord| number(chord).filter(|_| number(bar).is_some()));
        match chord {
            _ if bar.starts_with('0') => Err(format!("`{text}` is no {WANTED}")),
            Some(None) => Err(format!("`{text}` is no {WANTED}")),
            chord => Ok(Self {
                bars: range(bar).map_err(|error| error.replace(bar, text))?,
                chord: chord.flatten(),
            }),
        }
    }
}

impl fmt::Display for BarsOrChord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(chord) = self.chord {
            write!(f, "chord {chord} of ")?;
        }
        f.write_str(&bars((*self.bars.start(), *self.bars.end())))
    }
}

impl BarsOrChord {
    /// The bars.
    pub fn bars(&self) -> RangeInclusive<usize> {
        self.bars.clone()
    }

    /// The chord of the bar, if it is about one.
    pub const fn chord(&self) -> Option<usize> {
        self.chord
    }

    /// The indices of the slots there; `slots` are all slots of a chart, in order.
    pub fn slots<'a>(&self, slots: impl Iterator<Item = &'a Slot>) -> BTreeSet<usize> {
        let (mut bar, mut chord) = (0, 0);
        let there = slots.filter(|slot| {
            chord = if slot.bar == bar { chord + 1 } else { 1 };
            bar = slot.bar;
            self.bars.contains(&bar) && self.chord.is_none_or(|asked| asked == chord)
        });
        there.map(|slot| slot.index).collect()
    }

    /// Refuses a place that the chart doesn't have; `option` is what it was given to.
    ///
    /// # Errors
    ///
    /// A bar that is not on the page, a chord that is not in its bar.
    pub fn check(&self, option: &str, chart: &Chart) -> Result<()> {
        let count = chart.bars().count();
        for bar in [*self.bars.start(), *self.bars.end()] {
            if bar > count {
                bail!("{option} {bar}: the written bars are 1 to {count}");
            }
        }
        if let Some(chord) = self.chord
            && self.slots(chart.slots().iter()).is_empty()
        {
            let bar = self.bars.start();
            let slots = chart.slots();
            let chords = slots.iter().filter(|slot| slot.bar == *bar).count();
            bail!("{option} {bar}.{chord}: {}", in_bar(*bar, chords));
        }
        Ok(())
    }
}

fn in_bar(bar: usize, chords: usize) -> String {
    match chords {
        0 => format!("bar {bar} has no chord"),
        1 => format!("bar {bar} has one chord"),
        chords => format!("bar {bar} has chords 1 to {chords}"),
    }
}

fn number(text: &str) -> Option<usize> {
    text.parse().ok().filter(|number| *number > 0)
}

/// A bar, or two with a `-` between them.
fn range(text: &str) -> Result<RangeInclusive<usize>, String> {
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    let number = |text: &str| text.trim().parse::<usize>();
    match (number(first), number(last)) {
        (Ok(first), Ok(last)) if first <= last => Ok(first..=last),
        (Ok(first), Ok(last)) => Err(format!("`{text}` runs backwards: write {last}-{first}")),
        _ => Err(format!("`{text}` is no {WANTED}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_ranges_and_chords_are_read_and_nothing_else() {
        let read = |text: &str| text.parse::<BarsOrChord>().map(|p| (p.bars(), p.chord()));
        assert_eq!(read("3"), Ok((3..=3, None)));
        assert_eq!(read("3-6"), Ok((3..=6, None)));
        assert_eq!(read("3.2"), Ok((3..=3, Some(2))));
        for wrong in ["", "x", "3.", ".2", "3.0", "3-4.2", "3.2.1", "-3"] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
        assert_eq!(read("7-5"), Err("`7-5` runs backwards: write 5-7".into()));
    }

    #[test]
    fn a_chord_is_counted_in_its_bar() {
        let chart = compline::chart::read("| C F | N.C. | Dm7 G7 |").unwrap();
        let slots = chart.slots();
        let at = |text: &str| text.parse::<BarsOrChord>().unwrap().slots(slots.iter());
        assert_eq!(at("3.2"), BTreeSet::from([slots.len() - 1]));
        assert_eq!(at("1-3").len(), slots.len());
        assert!(at("1.3").is_empty());
    }
}
