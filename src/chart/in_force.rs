//! Which key, meter and tempo are in force where.

use super::{Chart, LineChanges, Meter, Place};
use crate::pitch::Key;

impl Chart {
    /// The key, if the chart says.
    pub fn key(&self) -> Option<Key> {
        self.header.key()
    }

    /// The meter at the start: the header's, or 4/4.
    pub fn meter(&self) -> Meter {
        self.header.meter().unwrap_or(Meter::COMMON)
    }

    /// The tempo in beats a minute, if the chart says.
    pub fn tempo(&self) -> Option<u32> {
        self.header.tempo()
    }

    /// What the header says of key, meter and tempo.
    pub(crate) fn at_first(&self) -> LineChanges {
        LineChanges {
            key: self.key(),
            meter: Some(self.meter()),
            tempo: self.tempo(),
        }
    }

    /// The key, the meter and the tempo that hold in each bar, in the order they are written; a meter in
    /// the bar itself aside.
    pub fn held(&self) -> Vec<LineChanges> {
        let mut held = self.at_first();
        let mut all = Vec::new();
        for line in self.lines() {
            held = line.changes.after(held);
            all.extend(line.bars.iter().map(|_| held));
        }
        all
    }

    /// What changes with the chord at a place: nothing but where a line begins.
    pub fn changes_at(&self, place: Place) -> LineChanges {
        let line = self.sections.get(place.section);
        let line = line.and_then(|section| section.lines.get(place.line));
        let begins = place.bar == 0 && place.chord == 0;
        line.filter(|_| begins)
            .map_or(LineChanges::NONE, |line| line.changes)
    }
}
