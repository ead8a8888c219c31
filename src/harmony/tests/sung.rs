//! Notes of a melody and times of a bar, as the tests of what the melody is to a chord write them.

use crate::chart::{Beats, MelodyNote};
use crate::harmony::chord_time::ChordTime;

/// A note that starts on a beat, from 1, and lasts so many.
pub fn note(name: &str, beat: &str, beats: &str) -> MelodyNote {
    MelodyNote {
        note: name.parse().unwrap(),
        beat: beat.parse().unwrap(),
        beats: beats.parse().unwrap(),
        tied: false,
        beside: [None; 2],
    }
}

/// The time of a chord that starts on a beat, from 1, and lasts so many, in a bar of so many.
pub fn time(beat: i64, beats: i64, bar_beats: i64) -> ChordTime {
    let [beat, beats, bar_beats] = [beat, beats, bar_beats].map(Beats::whole);
    ChordTime {
        beat,
        beats,
        bar_beats,
    }
}
