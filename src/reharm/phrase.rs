//! Phrases: four bars of a section, or what is left of them at its end (common practice).

use std::collections::BTreeMap;

use crate::chart::Slot;

/// The bars of a phrase.
pub(super) const PHRASE: usize = 4;

/// Where the phrases of a page lie.
pub(super) struct Phrases {
    /// The first bar of each section.
    first_bars: BTreeMap<usize, usize>,
}

impl Phrases {
    /// Those of a page with these slots.
    pub fn of(slots: &[Slot]) -> Self {
        let mut first_bars = BTreeMap::new();
        for slot in slots {
            first_bars.entry(slot.place.section).or_insert(slot.bar);
        }
        Self { first_bars }
    }

    /// The bar of a slot in its section, from 0.
    pub fn bar_of_section(&self, slot: &Slot) -> usize {
        let first = self.first_bars.get(&slot.place.section);
        slot.bar - first.copied().unwrap_or(slot.bar)
    }

    /// Whether slots in a row lie in one phrase.
    pub fn are_in_one(&self, slots: &[Slot]) -> bool {
        let phrase = |slot: &Slot| (slot.place.section, self.bar_of_section(slot) / PHRASE);
        let ends = slots.first().zip(slots.last());
        ends.is_none_or(|(first, last)| phrase(first) == phrase(last))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    #[test]
    fn a_phrase_is_four_bars_of_a_section() {
        let chart = read("[A]\n| C | F | G | C | F | G |\n[B]\n| C | F |\n").unwrap();
        let slots = chart.slots();
        let phrases = Phrases::of(&slots);
        for (from, to, one) in [(0, 4, true), (3, 5, false), (4, 6, true), (5, 7, false)] {
            assert_eq!(phrases.are_in_one(&slots[from..to]), one, "{from}..{to}");
        }
        assert_eq!(phrases.bar_of_section(&slots[7]), 1);
    }
}
