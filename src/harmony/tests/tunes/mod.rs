//! Tunes that leave their key and tunes that don't, as a teacher would mark them.
//!
//! The progressions are stock; regions and numerals were written out by hand, and the weights made to
//! give them. What the texts say (sources at the progressions) is that a key is known by its cadences, that
//! a secondary dominant leans on a degree without leaving the key, and that the ii of a cadence
//! belongs to the key it leads to; where one ends and the other begins is taught by example, and the
//! examples are from memory.

mod leaving;
mod staying;

use leaving::LEAVING;
use staying::STAYING;

/// A tune in C or C minor: its key regions, each with its chords and their numerals.
pub(super) struct TaughtTune {
    pub name: &'static str,
    pub key: &'static str,
    pub looped: bool,
    pub regions: &'static [[&'static str; 3]],
}

const fn tune(
    name: &'static str,
    key: &'static str,
    regions: &'static [[&'static str; 3]],
) -> TaughtTune {
    TaughtTune {
        name,
        key,
        looped: false,
        regions,
    }
}

const fn looped(
    name: &'static str,
    key: &'static str,
    regions: &'static [[&'static str; 3]],
) -> TaughtTune {
    TaughtTune {
        looped: true,
        ..tune(name, key, regions)
    }
}

/// Every tune.
pub(super) fn tunes() -> impl Iterator<Item = &'static TaughtTune> {
    LEAVING.iter().chain(STAYING)
}
