//! How fast a performance goes.

use super::Quarters;
use crate::chart::{Beats, Meter};

/// A tempo: so many beats a minute of a meter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tempo {
    /// Beats a minute.
    pub beats: u32,
    /// The meter whose beats are counted.
    pub meter: Meter,
}

impl Tempo {
    /// The tempo of a performance for which none is given: that of a Standard MIDI File without one.
    pub const fn usual(meter: Meter) -> Self {
        Self { beats: 120, meter }
    }

    /// How long a beat is.
    pub fn beat(self) -> Quarters {
        Quarters::of_beats(Beats::whole(1), self.meter)
    }
}
