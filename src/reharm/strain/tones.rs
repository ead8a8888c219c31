//! How many of the written tones no longer sound.

use std::collections::BTreeSet;

use num_rational::Ratio;

use super::length::in_bars;
use super::weights::MOST_TONES;
use crate::chord::Chord;
use crate::pitch::{Degree, PitchClass};
use crate::reharm::in_place::InPlace;

/// The points: tones that are lost, each for as much of a bar as it is missing, rounded, at most 3.
pub(super) fn tones(proposal: &InPlace<'_>) -> u32 {
    let lost = |old: &Chord, new: &Chord| missed(old).difference(&sounding(new)).count();
    let sum: Ratio<i64> = proposal
        .changes()
        .map(|meeting| {
            let lost = lost(meeting.spot.chord, &meeting.new.chord);
            in_bars(&meeting) * Ratio::from_integer(i64::try_from(lost).unwrap_or(i64::MAX))
        })
        .sum();
    let rounded = sum.round().to_integer();
    u32::try_from(rounded).unwrap_or(MOST_TONES).min(MOST_TONES)
}

/// The pitch classes one would miss of a chord: all it asks for; of an altered dominant root, third and
/// seventh, since `alt` names a scale of colours and leaves the player to choose among them (common practice, no
/// source).
fn missed(chord: &Chord) -> BTreeSet<PitchClass> {
    if !chord.is_altered() {
        return sounding(chord);
    }
    let shell = [Some(Degree::ROOT), chord.third(), chord.seventh()];
    let shell = shell.into_iter().flatten();
    let bass = chord.bass().map(|bass| bass.class());
    let classes = shell.map(|degree| chord.spell(degree).class());
    classes.chain(bass).collect()
}

/// The pitch classes a symbol asks for, its bass among them.
pub(super) fn sounding(chord: &Chord) -> BTreeSet<PitchClass> {
    let bass = chord.bass().map(|bass| bass.class());
    chord.classes().chain(bass).collect()
}
