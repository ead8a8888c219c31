//! Which tones of a chord a voicing may leave out, and which must sound: its frame, and what the symbol names
//! before what it implies.
//!
//! - The third and the seventh: the 6 stands for the seventh in a sixth chord, the 4 (or 2) for the
//!   third in a suspended one. A triad has no seventh; its altered fifth must sound instead.
//! - Under a melody on the root the 6 may stand for the major seventh, which would rub against it
//!   (common practice, no source). Under a melody on the 11 the 4 may stand for the major third, as in a
//!   suspended chord. Where the melody goes on to the third itself, the hand may have neither: it would hold the
//!   suspension under its own resolution. So may it under a b7 that goes on to the 6 of a sixth chord (common practice, no source).
//! - A diminished chord is told by b3, b5 and its seventh together, or in three notes by root, b3 and
//!   seventh. Its fifth or its seventh may be replaced by the note a whole step above it, and the
//!   seventh by the b13 (Sabatella, *A Jazz Improvisation Almanac*, 2000, "Diminished Chord Voicings").
//!   Nothing that the symbol does not name stands for its root or its third.
//! - A triad over a bass that is not its root keeps 1, 3 and 5: nobody else plays them (common
//!   practice, no source).
//! - A seventh or sixth chord over its own third, fifth or seventh keeps its root for the same reason.
//! - The root alone with the third, the seventh or the sixth is a shell of two notes.
//! - A chord without third and seventh, such as a power chord, is its root and fifth.
//! - While something the symbol names is silent, nothing may sound that it does not name, other than
//!   third and seventh: C9 is 3-b7-9, or 3-b7 alone, but never 1-3-b7. Root and fifth go first. What the
//!   melody sings is not silent.

use crate::chord::Family;
use crate::pitch::Degree;

use super::requirements::{Classes, Requirements};
use super::{SoundingNote, Violation};

/// Everything the voicing leaves out against the rules of this file.
pub(super) fn violations<'a>(
    asked: &'a Requirements,
    notes: &'a [SoundingNote],
) -> impl Iterator<Item = Violation> + 'a {
    let heard = heard(asked, notes);
    let shell = is_shell_of_two(asked, notes);
    let silent = required(asked)
        .into_iter()
        .flatten()
        .filter(move |degree| !heard.holds(*degree) && !shell && !is_sung(asked, *degree))
        .map(Violation::Silent);
    silent
        .chain(implied_before_named(asked, notes, heard))
        .chain(for_the_root(asked, notes))
}

/// Whether the melody sounds a tone in the hand's stead: one that it holds alone. Of two held notes each is
/// there for a part of the time only. Nor a root that nobody else plays, since the melody moves on.
fn is_sung(asked: &Requirements, degree: Degree) -> bool {
    degree != Degree::ROOT && (asked.sung.is(degree) || asked.resolved == Some(degree))
}

/// Whether the voicing says all that the symbol does: third and seventh, three tones of a triad, and
/// what is named as far as four notes hold it.
pub(crate) fn is_whole(asked: &Requirements, notes: &[SoundingNote]) -> bool {
    let heard = heard(asked, notes);
    let mut required = required(asked).into_iter().flatten();
    let framed = required.all(|degree| heard.holds(degree));
    let silent = asked.wanted.iter().filter(|degree| !heard.holds(**degree));
    // Four notes hold two tones beside third and seventh, and of an "alt" one alteration tells it.
    let spare = asked.wanted.len().saturating_sub(match asked.altered {
        true => 1,
        false => 2,
    });
    let triad = asked.seventh.is_none() && asked.third.is_some();
    framed && silent.count() <= spare && (!triad || notes.len() > 2)
}

/// The root with one tone of the frame: Powell's shells of two notes (from memory, Levine ch. 17).
fn is_shell_of_two(asked: &Requirements, notes: &[SoundingNote]) -> bool {
    let [one, other] = notes else {
        return false;
    };
    let (low, high) = if one.pitch <= other.pitch {
        (one, other)
    } else {
        (other, one)
    };
    let whole_by_three = asked.family != Family::Diminished && !asked.triad_over_bass;
    low.degree.class() == 0 && asked.frame.holds(high.degree) && whole_by_three
}

/// An added tone in a diminished chord whose root is silent.
fn for_the_root(asked: &Requirements, notes: &[SoundingNote]) -> Option<Violation> {
    let sounds = |class| notes.iter().any(|note| note.degree.class() == class);
    let own = |degree: Degree| {
        let fifth = asked
            .fifth
            .is_some_and(|fifth| fifth.class() == degree.class());
        fifth || asked.frame.holds(degree) || asked.names.holds(degree)
    };
    let mut added = notes
        .iter()
        .map(|note| note.degree)
        .filter(|degree| !own(*degree));
    let rootless = asked.family == Family::Diminished && !sounds(0);
    added.next().filter(|_| rootless).map(Violation::ForTheRoot)
}

/// The classes that count as sounding: in a diminished chord one raised tone counts for its own, and
/// what stands for a tone counts for it.
fn heard(asked: &Requirements, notes: &[SoundingNote]) -> Classes {
    let sounding = Classes::of(notes.iter().map(|n| n.degree));
    if asked.family != Family::Diminished {
        let replaced = stand_ins(asked, sounding).map(|(tone, _)| tone);
        return sounding.with(Classes::of(replaced.chain(asked.resolved)));
    }
    let of_the_symbol = diminished(asked).into_iter().flatten();
    let mut silent = of_the_symbol.filter(|tone| !sounding.holds(*tone));
    let replaced = silent.find(|tone| is_replaced(asked, sounding, *tone));
    let three = is_three_with_root(notes) && asked.seventh.is_some();
    let spared = asked.fifth.filter(|_| three);
    sounding.with(Classes::of(replaced.into_iter().chain(spared)))
}

/// Whether another tone sounds in a diminished chord in the stead of this one: a whole step above it
/// (for root and third only one that the symbol names), or the b13 for the seventh over the b5.
fn is_replaced(asked: &Requirements, sounding: Classes, tone: Degree) -> bool {
    let holds = |other: Degree| sounding.holds(other);
    let raised = raise(tone).filter(|raised| holds(*raised));
    let free = matches!(tone.class(), 6 | 9);
    let b13_for_seventh = tone.class() == 9
        && holds(Degree::ROOT)
        && holds(Degree::FLAT_FIFTH)
        && holds(Degree::FLAT_THIRTEENTH);
    raised.is_some_and(|raised| free || asked.names.holds(raised)) || b13_for_seventh
}

/// The tones that are silent while another sounds in their stead, each with that other.
pub(super) fn stand_ins(
    asked: &Requirements,
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
fn diminished(asked: &Requirements) -> [Option<Degree>; 3] {
    [asked.third, asked.fifth, asked.seventh]
}

/// The tones without which it is not this chord.
fn required(asked: &Requirements) -> [Option<Degree>; 3] {
    let altered_fifth = asked.fifth.filter(|fifth| fifth.alter() != 0);
    let root = Some(Degree::ROOT);
    match (asked.third, asked.seventh) {
        _ if asked.family == Family::Diminished => diminished(asked),
        _ if asked.triad_over_bass => [root, asked.third, asked.fifth],
        (None, None) => [root, asked.fifth, None],
        (third, None) => [third, altered_fifth, None],
        (third, seventh) => [third, seventh, root.filter(|_| asked.keeps_root)],
    }
}

/// Three notes with the root: third and seventh then tell a diminished chord, its fifth may go
/// (Sabatella, *A Jazz Improvisation Almanac*, 2000, "Diminished Chord Voicings").
fn is_three_with_root(notes: &[SoundingNote]) -> bool {
    notes.len() == 3 && notes.iter().any(|note| note.degree.class() == 0)
}

fn implied_before_named(
    asked: &Requirements,
    notes: &[SoundingNote],
    heard: Classes,
) -> Option<Violation> {
    let silent = *asked.named.iter().find(|named| !heard.holds(**named))?;
    let degrees = notes.iter().map(|note| note.degree);
    let others = stand_ins(asked, Classes::of(degrees.clone())).map(|(_, other)| other);
    let expected = asked.frame.with(asked.names).with(Classes::of(others));
    let sounding = degrees
        .into_iter()
        .find(|degree| !expected.holds(*degree))?;
    Some(Violation::ImpliedBeforeNamed { sounding, silent })
}
