//! What the melody has that a chord can't carry.

use std::fmt;

use super::phrases::{a_degree, bars_in_words};
use crate::arrange::Uncarried;
use crate::words::listed;

impl Uncarried {
    /// What it is about, for a count over many charts.
    pub const KIND: &'static str = "a chord can't carry a note of the melody";

    /// What would help.
    pub const CURE: &'static str = "write a symbol that has it, or mend the melody; `compline reharm` lists chords that the melody accepts";

    /// What is wrong, without the bars.
    pub fn what(&self) -> String {
        let notes: Vec<String> = self
            .notes
            .iter()
            .map(|(note, _)| self.middle_c.written(*note))
            .collect();
        let mut degrees: Vec<String> = Vec::new();
        for (_, degree) in &self.notes {
            let degree = a_degree(*degree);
            if !degrees.contains(&degree) {
                degrees.push(degree);
            }
        }
        format!(
            "{} can't carry the melody's {}: the chord has no place for {}",
            self.symbol,
            listed(&notes, "and"),
            listed(&degrees, "or")
        )
    }
}

impl fmt::Display for Uncarried {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", bars_in_words(&self.bars), self.what())
    }
}
