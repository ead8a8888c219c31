//! How long notes last: the unit, and what tuplets and broken rhythms make of it.

use num_rational::Ratio;

use super::length::AbcTuplet;
use crate::score::Quarters;

/// What the length of the next note follows from.
pub(super) struct NoteTimes {
    pub unit: Quarters,
    pub tuplet: Option<AbcTuplet>,
    /// What a broken rhythm makes of the next note.
    pub broken: Option<Ratio<i64>>,
}

impl NoteTimes {
    /// Notes of so many units, nothing else said.
    pub fn of(unit: Quarters) -> Self {
        let (tuplet, broken) = (None, None);
        Self {
            unit,
            tuplet,
            broken,
        }
    }

    /// How long the next note lasts, tuplets and broken rhythms counted.
    pub fn next(&mut self, length: Ratio<i64>) -> Quarters {
        let mut time = self.unit * length;
        if let Some(factor) = self.broken.take() {
            time = time * factor;
        }
        if let Some(tuplet) = &mut self.tuplet {
            time = time * tuplet.factor;
            tuplet.left -= 1;
            if tuplet.left == 0 {
                self.tuplet = None;
            }
        }
        time
    }
}
