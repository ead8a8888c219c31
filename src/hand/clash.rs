//! What must not sound together.
//!
//! - A note the chord avoids, unless the symbol asks for it.
//! - The natural 11 over a major third, unless the symbol asks for it; in the third's stead it may
//!   sound under a melody that sings it.
//! - A tone the symbol does not ask for a half step from its slash bass (common practice, no source).
//! - A minor ninth (13 semitones, or an octave more) between two notes, except the flat ninth of a
//!   dominant over its root. No symbol excuses it: another order of the same notes avoids it. A minor
//!   second inside the hand is no clash: b3 beside 9 is the bite of a minor ninth chord.
//! - A half step between the two highest notes, and a #9 below the third but under a b13.
//! - 5 beside b13, and 9 beside b9 or #9 ("tensions not combined a half step apart", chord-book
//!   excerpt; the first pair from memory), unless the symbol names both.

use crate::pitch::Degree;

use super::pairs::pairs;
use super::requirements::{Classes, Requirements};
use super::tones_left_out::stand_ins;
use super::{SoundingNote, Violation};

/// Everything that clashes in the voicing.
pub(super) fn violations<'a>(
    asked: &'a Requirements,
    notes: &'a [SoundingNote],
) -> impl Iterator<Item = Violation> + 'a {
    let sounding = Classes::of(notes.iter().map(|note| note.degree));
    let suspended = stand_ins(asked, sounding).any(|(_, other)| other.class() == 5);
    let free = move |note: &&SoundingNote| !(suspended && note.degree.class() == 5);
    let alone = notes
        .iter()
        .filter(free)
        .filter_map(|note| lonely(asked, note.degree));
    let pairs = pairs(notes)
        .filter_map(|(low, high)| beside(asked, low, high).or_else(|| rub(asked, low, high)));
    let tops = on_top(notes).into_iter();
    alone
        .chain(pairs)
        .chain(tops)
        .chain(below_third(asked, notes))
}

/// A half step between the two highest notes: the ear hears it as a mistake (common practice, no source).
fn on_top(notes: &[SoundingNote]) -> Option<Violation> {
    let highest = notes.iter().max_by_key(|note| note.pitch)?;
    let under = notes
        .iter()
        .find(|note| note.pitch.up_to(highest.pitch).0 == 1)?;
    Some(Violation::HalfStepOnTop {
        lower: under.degree,
        upper: highest.degree,
    })
}

/// A #9 below the third, where it is heard as a second third (common practice, no source). It is printed
/// so all the same with the b13 on top: C# F G C and G C C# F for A7alt (Funnell, "maximizing the use of
/// the common dominant shape").
fn below_third(asked: &Requirements, notes: &[SoundingNote]) -> Option<Violation> {
    let top = notes.iter().max_by_key(|note| note.pitch);
    let printed = top.is_some_and(|top| top.degree == Degree::FLAT_THIRTEENTH);
    let found = ninth_below_third(asked, notes).filter(|_| !printed)?;
    Some(Violation::NinthBelowThird(found))
}

fn ninth_below_third(asked: &Requirements, notes: &[SoundingNote]) -> Option<Degree> {
    let third = notes.iter().find(|note| Some(note.degree) == asked.third)?;
    let bent =
        |note: &&SoundingNote| note.degree == Degree::SHARP_NINTH && note.pitch < third.pitch;
    notes.iter().find(bent).map(|note| note.degree)
}

/// Whether a #9 lies below the third although the symbol does not leave the alterations to the player: it
/// may, under a b13, but is charged.
pub(crate) fn has_ninth_low(asked: &Requirements, notes: &[SoundingNote]) -> bool {
    !asked.altered && ninth_below_third(asked, notes).is_some()
}

/// A note that has no place in the chord, whatever else sounds.
fn lonely(asked: &Requirements, degree: Degree) -> Option<Violation> {
    if let Some((_, bass)) = asked.near_bass.filter(|(near, _)| near.holds(degree)) {
        return Some(Violation::RubsBass { degree, bass });
    }
    if asked.names.holds(degree) || asked.frame.holds(degree) {
        return None;
    }
    let major_third = asked.third.is_some_and(|third| third.class() == 4);
    if degree.class() == 5 && major_third {
        return Some(Violation::EleventhOverThird);
    }
    asked
        .avoid
        .holds(degree)
        .then_some(Violation::Avoid(degree))
}

/// Two colours a half step apart that cancel each other.
fn beside(asked: &Requirements, a: &SoundingNote, b: &SoundingNote) -> Option<Violation> {
    let mut either = [(a.degree, b.degree), (b.degree, a.degree)].into_iter();
    let (one, other) = either.find(|(one, other)| cancels(*one, *other))?;
    let named = asked.names.holds(one) && asked.names.holds(other);
    (!named).then_some(Violation::Beside(one, other))
}

/// Whether the first of these cancels the second: 5 and b13, 9 and b9, 9 and #9.
///
/// A class is not enough here: a b3 is no #9, and in Cm9 it stands beside the 9.
pub(crate) fn cancels(one: Degree, other: Degree) -> bool {
    let bent_ninth = other.number() == 9 && other.alter() != 0;
    let flat_thirteenth = other.number() == 13 && other.alter() == -1;
    bent_ninth && one.class() == 2 || flat_thirteenth && one.class() == 7
}

/// A minor ninth that nothing excuses.
fn rub(asked: &Requirements, a: &SoundingNote, b: &SoundingNote) -> Option<Violation> {
    let (low, high) = if a.pitch <= b.pitch { (a, b) } else { (b, a) };
    let gap = low.pitch.up_to(high.pitch).0;
    let flat_ninth_over_root =
        low.degree.class() == 0 && high.degree.class() == 1 && asked.takes_flat_ninth();
    (gap > 1 && gap % 12 == 1 && !flat_ninth_over_root).then_some(Violation::MinorNinth {
        lower: low.degree,
        upper: high.degree,
    })
}
