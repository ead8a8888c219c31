//! How many notes outside the key come in.

use std::collections::BTreeSet;

use super::tones::sounding;
use super::weights::MOST_OUTSIDE;
use crate::chord::Chord;
use crate::harmony::passage::is_diatonic;
use crate::pitch::{Key, PitchClass};
use crate::reharm::in_place::InPlace;

/// The points: one for each note outside the key that is more than before, at most 2; none without a key.
pub(super) fn outside(proposal: &InPlace<'_>) -> u32 {
    let (mut before, mut now) = (BTreeSet::new(), BTreeSet::new());
    for meeting in proposal.changes() {
        if let Some(key) = meeting.spot.key {
            before.extend(foreign(key, meeting.spot.chord));
            now.extend(foreign(key, &meeting.new.chord));
        }
    }
    let more = now.len().saturating_sub(before.len());
    u32::try_from(more)
        .unwrap_or(MOST_OUTSIDE)
        .min(MOST_OUTSIDE)
}

/// The notes of a chord that its key has not got.
fn foreign(key: Key, chord: &Chord) -> impl Iterator<Item = PitchClass> {
    let notes = sounding(chord).into_iter();
    notes.filter(move |class| !is_diatonic(key, *class))
}
