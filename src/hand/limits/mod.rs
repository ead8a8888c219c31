//! Low-interval limits: how low an interval may stand before it turns to mud.
//!
//! Three named tables ([`handbook`], [`series`], [`scores`]), tables from a file ([`LimitTable::read`]), and none
//! at all ([`LimitTable::none`]). They are guidelines, the texts say, not absolutes; that is why the
//! table is a setting and why the program prints which one judged.
//!
//! A limit holds for a bare interval and for every pair of notes inside a larger voicing (Lowell &
//! Pullig, *Arranging for Large Jazz Ensemble*, 2003, sect. 1-4, as copied on one page).

mod file;
mod handbook;
mod scores;
mod series;

use std::borrow::Cow;
use std::fmt;

pub use file::LimitMistake;
pub use handbook::handbook;
pub use scores::scores;
pub use series::series;

use crate::pitch::Pitch;

/// The widest interval a table speaks about: a major tenth, in semitones.
pub const WIDEST: u8 = 16;

/// The trade's names of the intervals from a minor second to a major tenth, by semitones less one.
pub const INTERVALS: [&str; WIDEST as usize] = [
    "m2", "M2", "m3", "M3", "P4", "TT", "P5", "m6", "M6", "m7", "M7", "P8", "m9", "M9", "m10",
    "M10",
];

/// Where a limit comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Provenance {
    /// Read in print or in a copy of it.
    Read,
    /// Read in a music retailer's glossary.
    Glossary,
    /// Handed down from memory, and borne out by the count of [`scores`].
    BorneOut,
    /// Handed down from memory; the page was not opened.
    Memory,
    /// From memory, and the charts in circulation differ.
    LeastCertain,
    /// Worked out from a formula.
    Computed,
    /// Counted in printed music.
    Counted,
    /// From the user's file.
    File,
}

impl fmt::Display for Provenance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Read => "read",
            Self::Glossary => "read in a glossary",
            Self::BorneOut => "from memory, borne out by a count",
            Self::Memory => "from memory",
            Self::LeastCertain => "from memory, least certain",
            Self::Computed => "computed",
            Self::Counted => "counted",
            Self::File => "from the file",
        })
    }
}

/// One row of a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct LowIntervalLimit {
    /// The lowest key the LOWER note of the interval may take; `None` where there is no limit.
    pub floor: Option<Pitch>,
    /// Where the number comes from.
    pub provenance: Provenance,
}

/// What a table of the program's own is called by, and how it is made.
pub type OwnTable = (&'static str, fn() -> LimitTable);

/// A table of low-interval limits, minor second to major tenth. Wider intervals have none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LimitTable {
    name: Cow<'static, str>,
    limits: [LowIntervalLimit; WIDEST as usize],
}

impl LimitTable {
    /// The program's own tables.
    pub const OWN: [OwnTable; 4] = [
        ("handbook", handbook),
        ("series", series),
        ("scores", scores),
        ("none", Self::none),
    ];

    /// One of the program's own tables.
    ///
    /// ```
    /// # use compline::hand::LimitTable;
    /// assert_eq!(LimitTable::named("handbook"), Some(LimitTable::default()));
    /// assert_eq!(LimitTable::named("lore"), None);
    /// ```
    pub fn named(name: &str) -> Option<Self> {
        let own = Self::OWN.iter().find(|(own, _)| *own == name);
        own.map(|(_, table)| table())
    }

    /// A table without limits.
    pub fn none() -> Self {
        Self::numbered("none", [0; WIDEST as usize], Provenance::Computed)
    }

    /// A table of MIDI numbers, 0 for no limit, all of one provenance.
    fn numbered(name: &'static str, midi: [u8; WIDEST as usize], provenance: Provenance) -> Self {
        let limits = midi.map(|number| LowIntervalLimit {
            floor: Pitch::new(number).filter(|_| number > 0),
            provenance,
        });
        Self {
            name: Cow::Borrowed(name),
            limits,
        }
    }

    /// The table's name, for the output.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The rows: interval name, semitones, limit.
    pub fn rows(&self) -> impl Iterator<Item = (&'static str, u8, LowIntervalLimit)> + '_ {
        let named = INTERVALS.into_iter().zip(1..=WIDEST);
        named
            .zip(self.limits)
            .map(|((name, semitones), limit)| (name, semitones, limit))
    }

    /// The lowest permitted lower note of an interval of so many semitones, if it has a limit.
    pub fn floor(&self, semitones: u8) -> Option<Pitch> {
        let row = usize::from(semitones).checked_sub(1)?;
        self.limits.get(row)?.floor
    }

    /// The floor that forbids these two keys together, if one does; in any order.
    pub fn forbids(&self, a: Pitch, b: Pitch) -> Option<Pitch> {
        let (lower, upper) = (a.min(b), a.max(b));
        self.floor(upper.midi() - lower.midi())
            .filter(|floor| lower < *floor)
    }

    /// The same table with every floor so many semitones lower.
    pub fn lowered(&self, semitones: u8) -> Self {
        let lower = |pitch: Pitch| Pitch::new(pitch.midi().saturating_sub(semitones));
        let mut table = self.clone();
        for limit in &mut table.limits {
            limit.floor = limit.floor.and_then(lower);
        }
        table
    }
}

impl Default for LimitTable {
    fn default() -> Self {
        handbook()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pitch(midi: u8) -> Pitch {
        Pitch::new(midi).unwrap()
    }

    #[test]
    fn the_lower_note_decides_in_either_order() {
        let table = handbook();
        assert_eq!(table.forbids(pitch(51), pitch(52)), Some(pitch(52)));
        assert_eq!(table.forbids(pitch(52), pitch(51)), Some(pitch(52)));
        assert_eq!(table.forbids(pitch(52), pitch(53)), None);
    }

    #[test]
    fn unison_octave_and_wide_intervals_are_free() {
        let table = handbook();
        for gap in [0, 12, 17, 24] {
            assert_eq!(table.forbids(pitch(21), pitch(21 + gap)), None, "{gap}");
        }
    }

    #[test]
    fn lowering_moves_every_floor() {
        let table = handbook().lowered(2);
        assert_eq!(table.floor(1), Some(pitch(50)));
        assert_eq!(table.floor(12), None);
    }

    #[test]
    fn no_table_forbids_nothing() {
        assert!(
            LimitTable::none()
                .rows()
                .all(|(_, _, limit)| limit.floor.is_none())
        );
    }
}
