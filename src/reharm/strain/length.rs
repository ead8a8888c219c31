//! How long another chord sounds.

use num_rational::Ratio;

use super::weights::{LENGTHS, LONGER};
use crate::reharm::in_place::{InPlace, Meeting};

/// The points: none for up to half a bar, 2 for a bar, 4 for two, 6 for more.
pub(super) fn length(proposal: &InPlace<'_>) -> u32 {
    let bars: Ratio<i64> = proposal.changes().map(|meeting| in_bars(&meeting)).sum();
    let within = |&&((upper, lower), _): &&((i64, i64), u32)| bars <= Ratio::new(upper, lower);
    let row = LENGTHS.iter().find(within);
    row.map_or(LONGER, |(_, points)| *points)
}

/// The part of a bar in which two chords meet.
pub(super) fn in_bars(meeting: &Meeting<'_>) -> Ratio<i64> {
    let bar = meeting.spot.bar_beats.ratio();
    match bar > Ratio::ZERO {
        true => meeting.beats.ratio() / bar,
        false => Ratio::ZERO,
    }
}
