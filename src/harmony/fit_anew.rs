//! The melody over a new chord, all the notes of its time together.
//!
//! Beyond each note for itself: a dominant put under an altered note must say so in its symbol, so that
//! the hand plays it too, and the notes the melody holds over one chord must not cancel each other ("tensions not combined a half step apart", chord-book excerpt; 5 beside b13 from
//! memory).

use std::collections::BTreeMap;

use super::chord_time::ChordTime;
use super::layout::Time;
use super::melody_fit::{Fit, MelodyFit, Misfit, beyond, fit};
use super::membership::{Membership, degree_over, membership};
use super::non_chord_tone::{is_held, is_step};
use super::passage::Spot;
use crate::chart::{Beats, MelodyNote};
use crate::chord::{Chord, Family};
use crate::pitch::{Degree, Key, Note, PitchClass};

/// So many notes spell a chord.
const SPELLED: usize = 3;

/// What a melody note is over a chord that is put under it anew: as [`fit`], but a blue third is an
/// altered ninth like any other, and no root, third, fifth, seventh or slash bass of the chord may lie a
/// minor ninth under a held note.
pub fn fit_anew(chord: &Chord, key: Option<Key>, note: &MelodyNote, time: ChordTime) -> Fit {
    let class = note.note.name().class();
    let fit = beyond(chord, membership(chord, key, class), note, time);
    let held = is_held(chord, note, time);
    match rubbed_by(chord, note).filter(|_| held && !matches!(fit, Fit::Misfit(_))) {
        Some(under) => Fit::Misfit(Misfit::MinorNinth {
            under,
            note: degree_over(chord, class),
        }),
        None => fit,
    }
}

/// The tone of the chord a half step (in another octave: a minor ninth) below the note.
fn rubbed_by(chord: &Chord, note: &MelodyNote) -> Option<Degree> {
    let above = chord.root().class().up_to(note.note.name().class()).0;
    let dominant = chord.family() == Family::Dominant;
    // Over a dominant a b9 and a b13 are its own tensions.
    let takes_it = |tone: &Degree| dominant && [Degree::ROOT, Degree::FIFTH].contains(tone);
    let basic = chord.basic_tones().filter(|tone| !takes_it(tone));
    let bass = chord.bass().map(|bass| degree_over(chord, bass.class()));
    let mut under = basic.chain(bass);
    under.find(|tone| (i32::from(tone.class()) + 1) % 12 == above)
}

/// What the melody becomes over a chord in its times, in order; `None` where it does not fit.
///
/// `only` are the sounds, in semitones above the root, that its technique allows there.
pub(crate) fn melody_fit_anew(
    chord: &Chord,
    only: Option<&[u8]>,
    times: &[&Time<'_>],
) -> Option<Vec<MelodyFit>> {
    let mut fits = Vec::new();
    let mut held = Vec::new();
    for time in times {
        for (spot, note) in heard(time) {
            let one = one_fit(time, chord, only, spot, &note);
            let kept = spot.chord == chord;
            let refused = one.is_misfit();
            let holds = is_held(chord, &note, time.stretch) && !kept;
            if refused || holds && needs_writing(chord, one.after) {
                return None;
            }
            held.extend(holds.then_some(one.after));
            fits.push(one);
        }
    }
    (!cancels(chord, &held) && !is_spelled(chord, times)).then_some(fits)
}

/// Every note heard in a time, once, with the spot it is first heard in.
fn heard<'a>(time: &Time<'a>) -> Vec<(&'a Spot<'a>, MelodyNote)> {
    let mut notes: Vec<(&Spot<'_>, MelodyNote)> = Vec::new();
    for spot in time.spots {
        let overlaps = spot.beat < time.stretch.end() && spot.end() > time.stretch.beat;
        for note in spot.melody_notes.iter().filter(|_| overlaps) {
            let known = notes.iter().any(|(_, other)| other == note);
            if !known && time.stretch.hears(note) {
                notes.push((spot, *note));
            }
        }
    }
    notes
}

/// Whether the melody spells the old chord: all of three notes or more that differ are its tones, and less than half of
/// them tones of the new one. Each may pass for a tension by itself, and together they contradict it (an arranger's
/// marks).
fn is_spelled(chord: &Chord, times: &[&Time<'_>]) -> bool {
    let sung = times.iter().flat_map(|time| heard(time));
    let mut classes: BTreeMap<PitchClass, bool> = BTreeMap::new();
    for (spot, note) in sung {
        let class = note.note.name().class();
        let spelled = spot.chord != chord && was_tone(spot, &note);
        let all = classes.entry(class).or_insert(true);
        *all &= spelled;
    }
    let kept = classes
        .keys()
        .filter(|class| membership(chord, None, **class) == Some(Membership::Tone));
    let kept = kept.count();
    classes.len() >= SPELLED && classes.values().all(|all| *all) && 2 * kept < classes.len()
}

fn one_fit(
    time: &Time<'_>,
    chord: &Chord,
    only: Option<&[u8]>,
    spot: &Spot<'_>,
    note: &MelodyNote,
) -> MelodyFit {
    let class = note.note.name().class();
    MelodyFit {
        bar: time.bar,
        note: *note,
        before: degree_over(spot.chord, class),
        after: degree_over(chord, class),
        fit: fit_here(time.stretch, chord, only, spot, note),
    }
}

/// What a note is over the chord, and whether it may be that in this place.
fn fit_here(
    time: ChordTime,
    chord: &Chord,
    only: Option<&[u8]>,
    spot: &Spot<'_>,
    note: &MelodyNote,
) -> Fit {
    let after = degree_over(chord, note.note.name().class());
    let refused = Fit::Misfit(Misfit::NotHere(after));
    let fit = match spot.chord == chord {
        true => fit(chord, spot.key, note, time),
        false => fit_anew(chord, spot.key, note, time),
    };
    let outside = only.is_some_and(|only| !only.contains(&after.class()));
    match fit {
        Fit::Misfit(_) => fit,
        // Whatever else the chord takes.
        _ if is_against_bass(chord, spot, note, time) => refused,
        _ if turns_major(chord, spot, note, time) => refused,
        _ if turns_dominant(chord, spot, note, time) => refused,
        // An alteration that says which chord is meant, or begins with it, stands in the symbol.
        Fit::Altered if is_outline(spot, note) || is_accented(time, spot, note) => {
            match needs_writing(chord, after) {
                true => refused,
                false => fit,
            }
        }
        _ if !outside && fit != Fit::Passing => fit,
        _ if is_minded(time, chord, spot, note) => refused,
        _ if outside && is_taken_back(chord, spot, note, time) => refused,
        _ => Fit::Passing,
    }
}

/// Whether a note that the technique has no place for was a tone of the old chord and is reached or left by leap: it
/// doesn't go by as if it were none. Over a diminished chord it is a tension (arrangers' marks).
fn is_taken_back(chord: &Chord, spot: &Spot<'_>, note: &MelodyNote, time: ChordTime) -> bool {
    let [before, _] = note.beside;
    let leapt = before.is_some_and(|before| !is_step(note.note, before)) || is_left_by_leap(note);
    let fits = chord.family() == Family::Diminished;
    leapt && !fits && was_tone(spot, note) && weighs(note, time)
}

/// Whether a note that the chord doesn't take is heard against it, and does not just go by.
fn is_minded(time: ChordTime, chord: &Chord, spot: &Spot<'_>, note: &MelodyNote) -> bool {
    is_held(chord, note, time)
        || is_accented(time, spot, note)
        || is_denied(chord, spot, note, time)
        || escapes(chord, note, time)
        || comes_to_rub(chord, spot, note, time)
        || is_outline(spot, note)
}

/// Whether a note begins with a new chord and fitted the old one: an accented note needs a place in the
/// chord, however short it is ("Chord substitution" handout, docslib 7593323). One that leaned on the old
/// chord may lean on the new one, and a grace note always may.
fn is_accented(time: ChordTime, spot: &Spot<'_>, note: &MelodyNote) -> bool {
    let begins = note.beat == time.beat && weighs(note, time);
    let leaned = || fit(spot.chord, spot.key, note, ChordTime::of(spot)) == Fit::Passing;
    begins && !leaned()
}

/// Whether a note that is more than a grace note, or is left by leap, was a tone of the old chord, and the new one
/// has the same tone bent: a 5 over a b5, a 3 over a b3. The ear takes it for a mistake, whether or not it goes by
/// (common practice, no source).
fn is_denied(chord: &Chord, spot: &Spot<'_>, note: &MelodyNote, time: ChordTime) -> bool {
    let tones = [chord.third(), chord.fifth(), chord.seventh()];
    let said = is_left_by_leap(note) || weighs(note, time);
    said && is_bent(chord, tones, note) && was_tone(spot, note)
}

/// Whether one of these tones of the chord is the note bent: of its number, and another.
fn is_bent<const N: usize>(chord: &Chord, tones: [Option<Degree>; N], note: &MelodyNote) -> bool {
    let above = chord.root().class().up_to(note.note.name().class());
    let plain = Degree::usual(PitchClass::of(above.0));
    let mut tones = tones.into_iter().flatten();
    tones.any(|tone| tone.number() == plain.number() && tone != plain)
}

/// Whether a note is a tone of the old chord.
fn was_tone(spot: &Spot<'_>, note: &MelodyNote) -> bool {
    membership(spot.chord, None, note.note.name().class()) == Some(Membership::Tone)
}

/// Whether the slash bass of the new chord is a tone of the old one bent: a 7 under the b7, in a line cliche. The bass
/// is heard whatever else the chord takes (common practice, no source).
fn is_against_bass(chord: &Chord, spot: &Spot<'_>, note: &MelodyNote, time: ChordTime) -> bool {
    let bass = chord.bass().map(|bass| degree_over(chord, bass.class()));
    is_bent(chord, [bass], note) && weighs(note, time) && was_tone(spot, note)
}

/// Whether a note that is no tone of the new chord lies a half step from one and is left by leap: it doesn't go by,
/// however weak its place is. A non-chord tone is left by step (any harmony text).
fn escapes(chord: &Chord, note: &MelodyNote, time: ChordTime) -> bool {
    let class = note.note.name().class();
    let above = chord.root().class().up_to(class).0;
    let rubs = chord
        .basic_tones()
        .any(|tone| matches!((above - i32::from(tone.class())).rem_euclid(12), 1 | 11));
    rubs && is_left_by_leap(note) && weighs(note, time) && membership(chord, None, class).is_none()
}

fn is_left_by_leap(note: &MelodyNote) -> bool {
    let [_, after] = note.beside;
    after.is_some_and(|after| !is_step(note.note, after))
}

/// Whether a note is heard for more than a grace note: an eighth note, in compound time a third of a beat.
fn weighs(note: &MelodyNote, time: ChordTime) -> bool {
    let heard = time.heard(note);
    heard + heard + heard >= Beats::whole(1)
}

/// Whether a chord turns major under a melody that sings the minor third of the one on its root, for more than a
/// grace note: a #9 in the symbol makes it no softer (common practice, no source).
fn turns_major(chord: &Chord, spot: &Spot<'_>, note: &MelodyNote, time: ChordTime) -> bool {
    let root = chord.root().class() == spot.chord.root().class();
    let third = |chord: &Chord| chord.third().map(Degree::class);
    let turns = root && (third(spot.chord), third(chord)) == (Some(3), Some(4));
    let above = chord.root().class().up_to(note.note.name().class()).0;
    turns && above == 3 && weighs(note, time)
}

/// Whether a major chord gets its b7 while the melody sings the 7, for more than a grace note: the two are heard as a
/// mistake of one of them (a pianist's marks).
fn turns_dominant(chord: &Chord, spot: &Spot<'_>, note: &MelodyNote, time: ChordTime) -> bool {
    let root = chord.root().class() == spot.chord.root().class();
    let turns = root
        && chord.seventh() == Some(Degree::FLAT_SEVENTH)
        && chord.seventh() != spot.chord.seventh();
    let above = chord.root().class().up_to(note.note.name().class()).0;
    turns && above == 11 && weighs(note, time)
}

/// Whether a note is a tone of the old chord that the tune comes to and leaves by leap: it says which chord is
/// meant, however short it is. A non-chord tone is reached or left by step (any harmony text).
fn is_outline(spot: &Spot<'_>, note: &MelodyNote) -> bool {
    let leaps = |other: Option<Note>| other.is_some_and(|other| !is_step(note.note, other));
    was_tone(spot, note) && note.beside.into_iter().all(leaps)
}

/// Whether a note that the old chord held, or that lasts a beat from a strong place on, rubs a tone of the new one, and
/// was a tone of the old or rubbed none of it: the hand had to mind it, and that it would go by over the new chord makes the rub no softer
/// (common practice, no source; an arranger marked such a beat wrong).
fn comes_to_rub(chord: &Chord, spot: &Spot<'_>, note: &MelodyNote, time: ChordTime) -> bool {
    let was_held = || is_held(spot.chord, note, ChordTime::of(spot));
    let weighs = || time.heard_from_strong_place(note) >= Beats::whole(1);
    let was_at_home = || was_tone(spot, note) || rubbed_by(spot.chord, note).is_none();
    let comes = rubbed_by(chord, note).is_some() && was_at_home();
    comes && (was_held() || weighs())
}

/// Whether a dominant put under this note must have it in its symbol, and has not.
fn needs_writing(chord: &Chord, degree: Degree) -> bool {
    let plain = chord.family() == Family::Dominant && !chord.is_altered();
    let written = chord.tones().iter().any(|tone| tone.degree == degree);
    plain && matches!(degree.class(), 1 | 3 | 8) && !written
}

/// Whether the melody holds both 5 and b13, of which only one can be in the chord.
///
/// 9 beside b9 or #9, and 13 beside b13, need no test here: once the one is written in the symbol, the
/// other is refused.
fn cancels(chord: &Chord, held: &[Degree]) -> bool {
    let has = |class| held.iter().any(|degree| degree.class() == class);
    chord.family() == Family::Dominant && has(7) && has(8)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::harmony::tests::sung::{note, time as bar};

    /// A note that is held from one replaced chord into the next is told of once in each time, as what it was in
    /// the first chord of that time; what sounded before or after the time is not told of in it.
    #[test]
    fn a_note_is_told_of_in_the_times_it_is_heard_in() {
        let chords = ["C6", "F6", "G6", "C6"].map(|symbol| Chord::read(symbol).unwrap());
        let long = note("E5", "1", "3");
        let (brief, last) = (note("D5", "3", "1/2"), note("G5", "4", "1"));
        let sung: [&[MelodyNote]; 4] = [&[long], &[long], &[long, brief], &[last]];
        let spots: Vec<Spot<'_>> = (1..)
            .zip(chords.iter().zip(sung))
            .map(|(beat, (chord, melody_notes))| Spot {
                chord,
                key: None,
                bar: 1,
                beat: Beats::whole(beat),
                beats: Beats::whole(1),
                bar_beats: Beats::whole(4),
                melody_notes,
            })
            .collect();
        let told = |beat, beats| {
            let stretch = bar(beat, beats, 4);
            let time = Time {
                of: 0,
                bar: 1,
                stretch,
                spots: &spots,
            };
            let told = heard(&time).into_iter();
            told.map(|(spot, note)| (spot.chord.symbol(), note))
                .collect::<Vec<_>>()
        };
        assert_eq!(told(1, 4), [("C6", long), ("G6", brief), ("C6", last)]);
        assert_eq!(told(1, 1), [("C6", long)]);
        assert_eq!(told(2, 1), [("F6", long)]);
        assert_eq!(told(2, 2), [("F6", long), ("G6", brief)]);
        assert_eq!(told(3, 1), [("G6", long), ("G6", brief)]);
        assert_eq!(told(3, 2), [("G6", long), ("G6", brief), ("C6", last)]);
        assert_eq!(told(4, 1), [("C6", last)]);
    }

    #[test]
    fn a_new_chord_may_not_rub_under_a_held_note() {
        let (held, brief) = (note("C5", "1", "4"), note("C5", "5/2", "1/2"));
        let over = |symbol: &str, note| {
            let chord = Chord::read(symbol).unwrap();
            fit_anew(&chord, None, note, bar(1, 4, 4))
        };
        assert!(matches!(
            over("Cmaj7", &held),
            Fit::Misfit(Misfit::MinorNinth { .. })
        ));
        assert_eq!(over("Cmaj7", &brief), Fit::ChordTone);
        assert_eq!(over("C6", &held), Fit::ChordTone);
        assert_eq!(over("B7", &held), Fit::Altered);
        assert_eq!(over("E7", &held), Fit::Altered);
        assert!(matches!(over("Em7", &held), Fit::Misfit(_)));
        assert!(matches!(over("G7", &held), Fit::Misfit(Misfit::Foreign(_))));
        assert!(matches!(over("CmMaj7", &held), Fit::Misfit(_)));
        let chord = Chord::read("Cmaj7").unwrap();
        assert_eq!(fit(&chord, None, &held, bar(1, 4, 4)), Fit::ChordTone);
    }
}
