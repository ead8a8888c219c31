//! What must not sound together.
//!
//! - A note the chord avoids, unless the symbol asks for it.
//! - The natural 11 over a major third, unless the symbol asks for it; in the third's stead it may
//!   sound under a tune that sings it.
//! - A tone the symbol does not ask for a half step from its slash bass (common practice, no source).
//! - A minor ninth (13 semitones, or an octave more) between two notes, except the flat ninth of a
//!   dominant over its root. No symbol excuses it: another order of the same notes avoids it. A minor
//!   second inside the hand is no clash: b3 beside 9 is the bite of a minor ninth chord.
//! - 5 beside b13, and 9 beside b9 or #9 ("tensions not combined a half step apart", chord-book
//!   excerpt; the first pair from memory), unless the symbol names both.

use crate::pitch::Degree;

use super::asked::{Asked, Classes};
use super::sounding::stand_ins;
use super::{Breach, Sounding};

/// Everything that clashes in the voicing.
pub(super) fn breaches<'a>(
    asked: &'a Asked,
    notes: &'a [Sounding],
) -> impl Iterator<Item = Breach> + 'a {
    let sounding = Classes::of(notes.iter().map(|note| note.degree));
    let suspended = stand_ins(asked, sounding).any(|(_, other)| other.class() == 5);
    let free = move |note: &&Sounding| !(suspended && note.degree.class() == 5);
    let alone = notes
        .iter()
        .filter(free)
        .filter_map(|note| lonely(asked, note.degree));
    let pairs = (0..notes.len())
        .flat_map(move |low| (low + 1..notes.len()).map(move |high| (low, high)))
        .filter_map(|(low, high)| Some((notes.get(low)?, notes.get(high)?)))
        .filter_map(|(low, high)| beside(asked, low, high).or_else(|| rub(asked, low, high)));
    alone.chain(pairs)
}

/// A note that has no place in the chord, whatever else sounds.
fn lonely(asked: &Asked, degree: Degree) -> Option<Breach> {
    if let Some((_, bass)) = asked.near_bass.filter(|(near, _)| near.holds(degree)) {
        return Some(Breach::RubsBass { degree, bass });
    }
    if asked.names.holds(degree) || asked.frame.holds(degree) {
        return None;
    }
    let major_third = asked.third.is_some_and(|third| third.class() == 4);
    if degree.class() == 5 && major_third {
        return Some(Breach::EleventhOverThird);
    }
    asked.avoid.holds(degree).then_some(Breach::Avoid(degree))
}

/// Two colours a half step apart that cancel each other.
fn beside(asked: &Asked, a: &Sounding, b: &Sounding) -> Option<Breach> {
    if asked.names.holds(a.degree) && asked.names.holds(b.degree) {
        return None;
    }
    let either = [(a.degree, b.degree), (b.degree, a.degree)];
    either
        .into_iter()
        .find(|(one, other)| cancels(*one, *other))
        .map(|(one, other)| Breach::Beside(one, other))
}

/// Whether the first of these cancels the second: 5 and b13, 9 and b9, 9 and #9.
///
/// A class is not enough here: a b3 is no #9, and in Cm9 it stands beside the 9.
pub(crate) fn cancels(one: Degree, other: Degree) -> bool {
    let natural_ninth = one.class() == 2;
    let bent_ninth = other.number() == 9 && other.alter() != 0;
    let natural_fifth = one.class() == 7;
    let flat_thirteenth = other.number() == 13 && other.alter() == -1;
    natural_ninth && bent_ninth || natural_fifth && flat_thirteenth
}

/// A minor ninth that nothing excuses.
fn rub(asked: &Asked, a: &Sounding, b: &Sounding) -> Option<Breach> {
    let (low, high) = if a.pitch <= b.pitch { (a, b) } else { (b, a) };
    let gap = low.pitch.up_to(high.pitch).0;
    let flat_ninth_over_root =
        low.degree.class() == 0 && high.degree.class() == 1 && asked.takes_flat_ninth();
    (gap > 1 && gap % 12 == 1 && !flat_ninth_over_root).then_some(Breach::MinorNinth {
        lower: low.degree,
        upper: high.degree,
    })
}
