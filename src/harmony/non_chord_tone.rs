//! Which notes of the melody a chord has to mind: those that are held, not those that go by.
//!
//! A note is **held** where it lasts at least half of what the chord does, or a beat or more on a
//! strong place and is no passing or neighbouring tone. Any other note **goes by**: the ear takes it
//! for a way from one note to the next, and what the hand plays under it is no fault (common practice,
//! no source). A strong place is where the chord begins, and a strong beat of the bar.
//!
//! A **passing or neighbouring tone** is no tone of the chord and is left by step. It is reached by step
//! as well, or it leans: it resolves into a tone of the chord (an incomplete neighbour). One that is
//! shorter than a beat goes by even where its chord is so short that it lasts half of it.
//!
//! This is the only definition: what forbids a voicing, what a chord put under the melody anew must
//! carry, and what a checker finds all ask here.

use super::chord_time::ChordTime;
use super::membership::{Membership, membership};
use crate::chart::{Beats, MelodyNote};
use crate::chord::Chord;
use crate::pitch::Note;

/// Whether a chord has to mind a note of the melody.
///
/// ```
/// use compline::chart::{Beats, MelodyNote};
/// use compline::chord::Chord;
/// use compline::harmony::{ChordTime, is_held};
///
/// let chord = Chord::read("Cmaj7").unwrap();
/// let bar = ChordTime { beat: Beats::whole(1), beats: Beats::whole(4), bar_beats: Beats::whole(4) };
/// let held = |beat, beats, before: &str, after: &str| {
///     let note = "F4".parse().unwrap();
///     let beside = [before.parse().ok(), after.parse().ok()];
///     let [beat, beats] = [beat, beats].map(Beats::whole);
///     is_held(&chord, &MelodyNote { note, beat, beats, tied: false, beside }, bar)
/// };
/// assert!(held(3, 2, "E4", "G4"));
/// assert!(held(1, 1, "C4", "C5"));
/// // A passing tone, a weak beat, and a note that leans on the chord's own.
/// assert!(!held(3, 1, "E4", "G4"));
/// assert!(!held(2, 1, "C4", "C5"));
/// assert!(!held(1, 1, "C4", "E4"));
/// ```
pub fn is_held(chord: &Chord, note: &MelodyNote, time: ChordTime) -> bool {
    let beat = Beats::whole(1);
    let weighs = time.heard_from_strong_place(note) >= beat;
    match lasts(note, time) {
        true if time.heard(note) >= beat => true,
        lasts => (lasts || weighs) && !is_passing_or_neighbouring(chord, note),
    }
}

/// Whether a note lasts at least half of what the chord does.
pub fn lasts(note: &MelodyNote, time: ChordTime) -> bool {
    let heard = time.heard(note);
    heard + heard >= time.beats
}

/// Whether a note leans on a tone of the chord, from a strong place, for a third of what the chord lasts and two
/// thirds of a beat or more.
pub(super) fn leans(chord: &Chord, note: &MelodyNote, time: ChordTime) -> bool {
    let weighs = time.heard_from_strong_place(note);
    let thrice = weighs + weighs + weighs;
    let [_, after] = note.beside;
    thrice >= time.beats.max(Beats::whole(2))
        && is_passing_or_neighbouring(chord, note)
        && after.is_some_and(|after| is_chord_tone(chord, after))
}

fn is_passing_or_neighbouring(chord: &Chord, note: &MelodyNote) -> bool {
    let [before, after] = note.beside;
    let by_step = |other: Option<Note>| other.is_some_and(|other| is_step(note.note, other));
    let resolves = after.is_some_and(|after| is_chord_tone(chord, after));
    !is_chord_tone(chord, note.note) && by_step(after) && (by_step(before) || resolves)
}

fn is_chord_tone(chord: &Chord, note: Note) -> bool {
    membership(chord, None, note.name().class()) == Some(Membership::Tone)
}

/// Whether two notes are a step apart.
pub(super) fn is_step(from: Note, to: Note) -> bool {
    let pitches = from.pitch().zip(to.pitch());
    let gap = pitches.map(|(from, to)| from.up_to(to).0.abs());
    gap.is_some_and(|gap| (1..=2).contains(&gap))
}
