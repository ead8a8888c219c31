//! What must sound: the frame of the chord, and what the symbol names before what it implies.
//!
//! - The third and the seventh: the 6 stands for the seventh in a sixth chord, the 4 (or 2) for the
//!   third in a suspended one. A triad has no seventh; its altered fifth must sound instead.
//! - Under a tune on the root the 6 may stand for the major seventh, which would rub against it
//!   (common practice, no source). Under a tune on the 11 the 4 may stand for the major third, as in a
//!   suspended chord.
//! - A diminished chord is told by b3, b5 and its seventh together. One of its tones may be replaced
//!   by the note a whole step above it (common practice; from memory, Levine).
//! - A chord without third and seventh, such as a power chord, is its root and fifth.
//! - While something the symbol names is silent, nothing may sound that it does not name, other than
//!   third and seventh: C9 is 3-b7-9, or 3-b7 alone, but never 1-3-b7. Root and fifth go first.

use crate::chord::Family;
use crate::pitch::Degree;

use super::asked::{Asked, Classes};
use super::{Breach, Sounding};

/// Everything the voicing leaves out against the rules of this file.
pub(super) fn breaches<'a>(
    asked: &'a Asked,
    notes: &'a [Sounding],
) -> impl Iterator<Item = Breach> + 'a {
    let heard = heard(asked, notes);
    let silent = required(asked)
        .into_iter()
        .flatten()
        .filter(move |degree| !heard.holds(*degree))
        .map(Breach::Silent);
    silent.chain(implied_before_named(asked, notes, heard))
}

/// The classes that count as sounding: in a diminished chord one raised tone counts for its own, and
/// what stands for a tone counts for it.
fn heard(asked: &Asked, notes: &[Sounding]) -> Classes {
    let sounding = Classes::of(notes.iter().map(|n| n.degree));
    if asked.family != Family::Diminished {
        let replaced = stand_ins(asked, sounding).map(|(tone, _)| tone);
        return sounding.with(Classes::of(replaced));
    }
    let raised = diminished(asked)
        .into_iter()
        .flatten()
        .find(|tone| !sounding.holds(*tone) && raise(*tone).is_some_and(|r| sounding.holds(r)));
    sounding.with(Classes::of(raised))
}

/// The tones that are silent while another sounds in their stead, each with that other.
pub(super) fn stand_ins(
    asked: &Asked,
    sounding: Classes,
) -> impl Iterator<Item = (Degree, Degree)> {
    let pairs = asked.stand_ins.into_iter().flatten();
    pairs.filter(move |(tone, other)| !sounding.holds(*tone) && sounding.holds(*other))
}

/// The tone a whole step above a tone of a diminished seventh chord: 9, 11, b13 or 7.
pub(crate) fn raise(tone: Degree) -> Option<Degree> {
    Some(match tone.class() {
        0 => Degree::known(9, 0),
        3 => Degree::known(11, 0),
        6 => Degree::known(13, -1),
        9 => Degree::known(7, 0),
        _ => return None,
    })
}

/// The tones that make a diminished chord.
fn diminished(asked: &Asked) -> [Option<Degree>; 3] {
    [asked.third, asked.fifth, asked.seventh]
}

fn required(asked: &Asked) -> [Option<Degree>; 3] {
    let altered_fifth = asked.fifth.filter(|fifth| fifth.alter() != 0);
    match (asked.third, asked.seventh) {
        _ if asked.family == Family::Diminished => diminished(asked),
        (None, None) => [Some(Degree::known(1, 0)), asked.fifth, None],
        (third, None) => [third, altered_fifth, None],
        (third, seventh) => [third, seventh, None],
    }
}

fn implied_before_named(asked: &Asked, notes: &[Sounding], heard: Classes) -> Option<Breach> {
    let silent = *asked.named.iter().find(|named| !heard.holds(**named))?;
    let degrees = notes.iter().map(|note| note.degree);
    let others = stand_ins(asked, Classes::of(degrees.clone())).map(|(_, other)| other);
    let expected = asked.frame.with(asked.names).with(Classes::of(others));
    let sounding = degrees
        .into_iter()
        .find(|degree| !expected.holds(*degree))?;
    Some(Breach::ImpliedBeforeNamed { sounding, silent })
}
