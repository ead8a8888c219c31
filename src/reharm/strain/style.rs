//! How far the new chords are from what the tune is written in, and from the pace it moves at.

use super::weights::{
    BENT_IN_TRIADS, CROWDED, FAR_IN_MIXED, HELD_BACK, HURRIED, HURRIED_LINE, MOST_STYLE,
    OUT_OF_STYLE, RUNNING,
};
use crate::chart::{Beats, MelodyNote, NewChord};
use crate::chord::{Chord, Family};
use crate::harmony::passage::above_tonic;
use crate::pitch::{Key, Mode};
use crate::reharm::in_place::{InPlace, Meeting};
use crate::reharm::language::{Foreign, TriadShare};

/// The points: for each new chord that is foreign to the tune's language, for chords that change faster than
/// a running tune does, and for a chord that is cut short; at most 4.
pub(super) fn style(proposal: &InPlace<'_>) -> u32 {
    let mut known: Vec<&Chord> = Vec::new();
    let mut points = crowded(proposal) + hurried(proposal);
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
    let (chord, key) = (&meeting.new.chord, meeting.spot.key);
    if language.dance && language.is_foreign_to_dance(chord, key) {
        return OUT_OF_STYLE;
    }
    if language.triads == TriadShare::Most && holds_back(meeting) {
        return OUT_OF_STYLE;
    }
    if language.triads == TriadShare::Most && key.is_some_and(|key| is_minor_five(key, chord)) {
        return OUT_OF_STYLE;
    }
    match (language.triads, language.foreign(chord, key)) {
        (TriadShare::Few, _) | (_, None) => 0,
        (_, Some(Foreign::HalfDiminished)) if language.keeps_for_later(chord, key, proposal.at) => {
            OUT_OF_STYLE
        }
        (_, Some(Foreign::Slide | Foreign::BentFifth)) => OUT_OF_STYLE,
        (TriadShare::Most, Some(Foreign::FarMajor)) => OUT_OF_STYLE,
        (TriadShare::Some, Some(Foreign::FarMajor)) => FAR_IN_MIXED,
        (TriadShare::Most, Some(Foreign::Alteration | Foreign::HalfDiminished)) => BENT_IN_TRIADS,
        (TriadShare::Some, Some(Foreign::Alteration | Foreign::HalfDiminished)) => 0,
    }
}

/// Whether it is the minor v of a major key: before IV, where a song in triads has its plain I7.
fn is_minor_five(key: Key, chord: &Chord) -> bool {
    let minor = chord.family() == Family::Minor && chord.bass().is_none();
    minor && key.mode() == Mode::Major && above_tonic(key, chord) == 7
}

/// Whether the diminished seventh on a chord's own root stands before it, which a song in triads is too plain for.
fn holds_back(meeting: &Meeting<'_>) -> bool {
    let (old, new) = (meeting.spot.chord, &meeting.new.chord);
    new.family() == Family::Diminished && new.root().class() == old.root().class()
}

/// Points where a new chord lasts less than half a bar, and less than any written one of its bar, under two notes
/// of the tune a beat or more.
fn crowded(proposal: &InPlace<'_>) -> u32 {
    let brief = |spot_bar: usize, beats: Beats| {
        let mut here = proposal.old.iter().filter(|spot| spot.bar == spot_bar);
        here.all(|spot| beats < spot.beats && beats + beats < spot.bar_beats)
    };
    let mut new = proposal.new.iter();
    match is_running(proposal) && new.any(|new| brief(new.bar, new.beats)) {
        true => CROWDED,
        false => 0,
    }
}

/// Points where a written chord is left so short that it is over before it is heard, or is held back by one that is,
/// or an inner line has one, or four chords in a bar. Chords that lead on, as the ii-V in the last half of a bar, may be as short.
fn hurried(proposal: &InPlace<'_>) -> u32 {
    let brief = |new: &NewChord, a_minute: i64| is_brief(proposal, new.beats, a_minute);
    let ends = proposal.new.first().zip(proposal.old.first());
    let stays = ends.filter(|(new, spot)| new.chord.symbol() == spot.chord.symbol());
    let is_cut = stays.is_some_and(|(new, spot)| new.beats < spot.beats && brief(new, HURRIED));
    let is_line = proposal.new.windows(2).all(|pair| match pair {
        [one, next] => has_root_and_bass_of(&one.chord, &next.chord),
        _ => false,
    });
    let is_hurried = match proposal.new {
        [first, _] => is_line && stays.is_none() && brief(first, HELD_BACK),
        [first, inside @ .., last] => {
            let see_saw = inside.len() > 1 && first.bar == last.bar;
            is_line && (see_saw || inside.iter().any(|new| brief(new, HURRIED_LINE)))
        }
        _ => false,
    };
    match is_cut || is_hurried {
        true => OUT_OF_STYLE,
        false => 0,
    }
}

fn has_root_and_bass_of(one: &Chord, other: &Chord) -> bool {
    let places = |chord: &Chord| (chord.root().class(), chord.lowest().class());
    places(one) == places(other)
}

/// Whether so many beats are over before the chord is heard, at the tune's tempo.
fn is_brief(proposal: &InPlace<'_>, beats: Beats, a_minute: i64) -> bool {
    let minute = proposal.tempo.map(|tempo| Beats::whole(i64::from(tempo)));
    minute.is_some_and(|minute| beats.ratio() * a_minute < minute.ratio())
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
