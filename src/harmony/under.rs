//! The tune under a new chord, all the notes of its time together.
//!
//! Beyond each note for itself (`sung`): a dominant put under an altered note must say so in its
//! symbol, so that the hand plays it too, and the notes the tune holds over one chord must not cancel
//! each other ("tensions not combined a half step apart", chord-book excerpt; 5 beside b13 from
//! memory).

use super::carried::degree_over;
use super::layout::Time;
use super::passage::Spot;
use super::sung::{Refusal, Sung, Verdict, carries, carries_anew};
use crate::chart::TuneNote;
use crate::chord::{Chord, Family};
use crate::pitch::Degree;

/// What the tune becomes over a chord in its times, in order; `None` when it refuses the chord.
///
/// `only` are the sounds, in semitones above the root, that its technique allows there.
pub(crate) fn sung_under(
    chord: &Chord,
    only: Option<&[u8]>,
    times: &[&Time<'_>],
) -> Option<Vec<Sung>> {
    let mut sung = Vec::new();
    let mut held = Vec::new();
    for time in times {
        for (spot, note) in heard(time) {
            let one = sing(time, chord, only, spot, &note);
            let kept = spot.chord == chord;
            let refused = one.is_refused();
            let holds = !time.stretch.passes(&note) && !kept;
            if refused || holds && needs_writing(chord, one.after) {
                return None;
            }
            held.extend(holds.then_some(one.after));
            sung.push(one);
        }
    }
    (!cancels(chord, &held)).then_some(sung)
}

/// Every note heard in a time, once, with the spot it is first heard in.
fn heard<'a>(time: &Time<'a>) -> Vec<(&'a Spot<'a>, TuneNote)> {
    let mut notes: Vec<(&Spot<'_>, TuneNote)> = Vec::new();
    for spot in time.spots {
        let overlaps = spot.beat < time.stretch.end() && spot.end() > time.stretch.beat;
        for note in spot.tune.iter().filter(|_| overlaps) {
            let known = notes.iter().any(|(_, other)| other == note);
            if !known && time.stretch.hears(note) {
                notes.push((spot, *note));
            }
        }
    }
    notes
}

fn sing(
    time: &Time<'_>,
    chord: &Chord,
    only: Option<&[u8]>,
    spot: &Spot<'_>,
    note: &TuneNote,
) -> Sung {
    let class = note.note.name().class();
    let after = degree_over(chord, class);
    let verdict = match spot.chord == chord {
        true => carries(chord, spot.key, note, time.stretch),
        false => carries_anew(chord, spot.key, note, time.stretch),
    };
    let outside = only.is_some_and(|only| !only.contains(&after.class()));
    let verdict = match verdict {
        Verdict::Refused(_) | Verdict::Passing => verdict,
        _ if !outside => verdict,
        _ if time.stretch.passes(note) => Verdict::Passing,
        _ => Verdict::Refused(Refusal::NotHere(after)),
    };
    Sung {
        bar: time.bar,
        note: *note,
        before: degree_over(spot.chord, class),
        after,
        verdict,
    }
}

/// Whether a dominant put under this note must have it in its symbol, and has not.
fn needs_writing(chord: &Chord, degree: Degree) -> bool {
    let plain = chord.family() == Family::Dominant && !chord.is_altered();
    let written = chord.tones().iter().any(|tone| tone.degree == degree);
    plain && matches!(degree.class(), 1 | 3 | 8) && !written
}

/// Whether the tune holds both 5 and b13, of which only one can be in the chord.
///
/// 9 beside b9 or #9, and 13 beside b13, need no test here: once the one is written in the symbol, the
/// other is refused.
fn cancels(chord: &Chord, held: &[Degree]) -> bool {
    let has = |class| held.iter().any(|degree| degree.class() == class);
    chord.family() == Family::Dominant && has(7) && has(8)
}
