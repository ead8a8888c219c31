//! How far the new chords are from what the tune is written in, and from the pace it moves at.

use super::weights::{
    BENT_IN_TRIADS, CROWDED, HURRIED, MOST_STYLE, RUNNING, SLIDE_IN_MIXED, SLIDE_IN_TRIADS,
};
use crate::chart::{Beats, MelodyNote};
use crate::chord::Chord;
use crate::reharm::in_place::{InPlace, Meeting};
use crate::reharm::language::{Foreign, TriadShare};

/// The points: for each new chord that is foreign to the tune's language, and for chords that change faster than
/// a running tune does; at most 4.
pub(super) fn style(proposal: &InPlace<'_>) -> u32 {
    let mut known: Vec<&Chord> = Vec::new();
    let mut points = crowded(proposal);
    for meeting in proposal.changes() {
        if !known.contains(&&meeting.new.chord) {
            known.push(&meeting.new.chord);
            points += foreign(proposal, &meeting);
        }
    }
    points.min(MOST_STYLE)
}

fn foreign(proposal: &InPlace<'_>, meeting: &Meeting<'_>) -> u32 {
    let language = proposal.language;
    let what = language.foreign(&meeting.new.chord, meeting.spot.key);
    match (language.triads, what) {
        (TriadShare::Most, Some(Foreign::Slide)) => SLIDE_IN_TRIADS,
        (TriadShare::Most, Some(Foreign::Alteration | Foreign::HalfDiminished)) => BENT_IN_TRIADS,
        (TriadShare::Some, Some(Foreign::Slide)) => SLIDE_IN_MIXED,
        _ => 0,
    }
}

/// Points where a new chord lasts less than half a bar, and less than any written one of its bar, under two notes
/// of the tune a beat or more, or for less than 0.4 seconds.
fn crowded(proposal: &InPlace<'_>) -> u32 {
    let brief = |spot_bar: usize, beats: Beats| {
        let mut here = proposal.old.iter().filter(|spot| spot.bar == spot_bar);
        here.all(|spot| beats < spot.beats && beats + beats < spot.bar_beats)
    };
    let mut new = proposal.new.iter();
    let hurries = |beats: Beats| is_running(proposal) || is_hurried(proposal, beats);
    match new.any(|new| brief(new.bar, new.beats) && hurries(new.beats)) {
        true => CROWDED,
        false => 0,
    }
}

/// Whether so many beats are over before the chord is heard, at the tune's tempo.
fn is_hurried(proposal: &InPlace<'_>, beats: Beats) -> bool {
    let minute = proposal.tempo.map(|tempo| Beats::whole(i64::from(tempo)));
    minute.is_some_and(|minute| beats.ratio() * HURRIED < minute.ratio())
}

/// Whether the tune has so many notes a beat over the chords that go.
fn is_running(proposal: &InPlace<'_>) -> bool {
    let begins = |note: &&MelodyNote| !note.tied;
    let notes = proposal.old.iter().map(|spot| {
        let here = spot.melody_notes.iter().filter(begins);
        here.filter(|note| note.beat >= spot.beat).count()
    });
    let notes = i64::try_from(notes.sum::<usize>()).unwrap_or(i64::MAX);
    let beats: Beats = proposal.old.iter().map(|spot| spot.beats).sum();
    notes > 0 && Beats::whole(notes).ratio() >= beats.ratio() * RUNNING
}
