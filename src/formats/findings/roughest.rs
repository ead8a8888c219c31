//! The roughest voicings of a songbook, kept as they come: never more than were asked for.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::chart::{Beats, MiddleC, Slot, Wish};
use crate::formats::json::line;
use crate::hand::{Thousandths, roughness};
use crate::pitch::{Note, Pitch};

/// A voicing that a chart gives, and how rough it sounds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Rough {
    /// Hutchinson and Knopoff's roughness: a second opinion, no verdict.
    #[schemars(with = "f64")]
    pub roughness: Thousandths,
    /// The chart's path.
    pub chart: String,
    /// The written bar, from 1.
    pub bar: usize,
    /// The beat, from 1.
    #[schemars(with = "String")]
    pub beat: Beats,
    /// The chord symbol.
    pub symbol: String,
    /// The notes, lowest first, as a chart with middle C = C4 has them.
    pub notes: String,
}

impl Rough {
    /// The voicing a slot gives, if it gives one.
    pub fn of(chart: &str, slot: &Slot) -> Option<Self> {
        let Wish::Given(notes) = &slot.wish else {
            return None;
        };
        let pitches: Vec<Pitch> = notes
            .iter()
            .filter_map(|note: &Note| note.pitch())
            .collect();
        Some(Self {
            roughness: roughness(&pitches).total,
            chart: chart.to_owned(),
            bar: slot.bar,
            beat: slot.beat,
            symbol: slot.symbol.text().to_owned(),
            notes: super::dotted(notes.iter().copied(), MiddleC::C4),
        })
    }
}

/// The order of the list: rougher first, then by path, bar and beat.
impl Ord for Rough {
    fn cmp(&self, other: &Self) -> Ordering {
        let place = |rough: &Self| (rough.chart.clone(), rough.bar, rough.beat);
        let rougher = other.roughness.cmp(&self.roughness);
        rougher
            .then_with(|| place(self).cmp(&place(other)))
            .then_with(|| self.symbol.cmp(&other.symbol))
            .then_with(|| self.notes.cmp(&other.notes))
    }
}

impl PartialOrd for Rough {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// The `most` roughest of all that were added.
#[derive(Debug, Default)]
pub struct RoughestList {
    most: usize,
    /// The last of the list on top.
    kept: BinaryHeap<Rough>,
}

impl RoughestList {
    /// A list of so many.
    pub fn of(most: usize) -> Self {
        Self {
            most,
            kept: BinaryHeap::new(),
        }
    }

    /// Adds one, and drops the last if there are too many.
    pub fn add(&mut self, rough: Rough) {
        if self.kept.len() < self.most {
            self.kept.push(rough);
        } else if self.kept.peek().is_some_and(|last| rough < *last) {
            self.kept.pop();
            self.kept.push(rough);
        }
    }

    /// Them all, roughest first, for people.
    pub fn text(self) -> String {
        let row = |rough: &Rough| {
            format!(
                "{}  {}, bar {}, beat {}, {}: {}\n",
                rough.roughness, rough.chart, rough.bar, rough.beat, rough.symbol, rough.notes
            )
        };
        self.sorted().iter().map(row).collect()
    }

    /// Them all, roughest first, one JSON object a line.
    pub fn json(self) -> String {
        self.sorted().iter().map(line).collect()
    }

    /// Them all, roughest first.
    pub fn sorted(self) -> Vec<Rough> {
        self.kept.into_sorted_vec()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rough(roughness: u32, chart: &str, bar: usize) -> Rough {
        Rough {
            roughness: Thousandths::new(roughness),
            chart: chart.to_owned(),
            bar,
            beat: Beats::whole(1),
            symbol: "Fm7".to_owned(),
            notes: "F3".to_owned(),
        }
    }

    #[test]
    fn the_roughest_are_kept_whatever_the_order_they_come_in() {
        let all = [
            rough(300, "b", 1),
            rough(300, "a", 10),
            rough(300, "a", 9),
            rough(100, "a", 1),
            rough(400, "c", 1),
        ];
        for turn in 0..all.len() {
            let mut list = RoughestList::of(3);
            let turned = all.iter().cycle().skip(turn).take(all.len());
            turned.for_each(|rough| list.add(rough.clone()));
            let kept = [&all[4], &all[2], &all[1]].map(Clone::clone);
            assert_eq!(list.sorted(), kept);
        }
        let mut none = RoughestList::of(0);
        none.add(all[0].clone());
        assert_eq!(none.sorted(), []);
    }
}
