//! One staff's notes and rests of a bar as they are written.

use super::groups::Groups;
use super::quarters::Quarters;
use super::tuplet::{Tuplet, TupletStretch, stretches};
use super::value::NoteValue;
use super::written_note::{NotesOrRest, StartStop, Written};
use super::{accidental, beam, rhythm};
use crate::chart::Meter;
use crate::pitch::{Key, Note};

/// Writes out what sounds on a staff in a bar. What it lacks to fill the bar is a rest at its end,
/// what is too much is left out.
///
/// ```
/// use compline::score::{Quarters, NotesOrRest, written};
///
/// let note = |name: &str, length| NotesOrRest {
///     notes: vec![name.parse().unwrap()],
///     length,
///     tie: Default::default(),
/// };
/// let bar = [note("Bb4", Quarters::new(3, 2)), note("B4", Quarters::new(5, 2))];
/// let written = written(&bar, "4/4".parse().unwrap(), Some("F".parse().unwrap()));
/// let shown: Vec<(&str, bool, Option<i8>)> = written
///     .iter()
///     .map(|w| (w.value.unwrap().name(), w.tie.starts, w.accidentals[0]))
///     .collect();
/// assert_eq!(shown, [("quarter", false, None), ("eighth", true, Some(0)), ("half", false, None)]);
/// ```
pub fn written(sounding: &[NotesOrRest], meter: Meter, key: Option<Key>) -> Vec<Written> {
    let groups = Groups::of(meter);
    let bar = Quarters::of_bar(meter);
    let filled = filled(sounding, bar);
    if let [NotesOrRest { notes, .. }] = filled.as_slice()
        && notes.is_empty()
    {
        return vec![whole_rest(bar)];
    }
    let starts: Vec<Quarters> = places(&filled).map(|(at, _)| at).collect();
    let tuplets = stretches(&starts, bar, &groups);
    let mut all: Vec<Written> = Vec::new();
    for (at, one) in places(&filled) {
        all.extend(pieces(at, one, &tuplets, &groups));
    }
    mark_tuplets(&mut all, &tuplets);
    beam::beam(&mut all, &groups);
    accidental::print(&mut all, key);
    all
}

fn whole_rest(bar: Quarters) -> Written {
    Written {
        value: None,
        ..plain(Quarters::ZERO, bar, &[])
    }
}

fn plain(at: Quarters, length: Quarters, notes: &[Note]) -> Written {
    Written {
        at,
        length,
        notes: notes.to_vec(),
        accidentals: vec![None; notes.len()],
        value: NoteValue::of(length),
        tuplet: None,
        tuplet_mark: StartStop::default(),
        tie: StartStop::default(),
        beams: Vec::new(),
    }
}

/// Fills the bar. A rest that is added joins one at the end.
fn filled(sounding: &[NotesOrRest], bar: Quarters) -> Vec<NotesOrRest> {
    let mut filled: Vec<NotesOrRest> = Vec::new();
    let mut left = bar;
    for one in sounding {
        let length = one.length.min(left);
        left = left - length;
        if length > Quarters::ZERO {
            let notes = one.notes.clone();
            let tie = one.tie;
            filled.push(NotesOrRest { notes, length, tie });
        }
    }
    match filled.last_mut() {
        _ if left == Quarters::ZERO => {}
        Some(last) if last.notes.is_empty() => last.length += left,
        _ => filled.push(NotesOrRest {
            notes: Vec::new(),
            length: left,
            tie: StartStop::default(),
        }),
    }
    filled
}

fn places(sounding: &[NotesOrRest]) -> impl Iterator<Item = (Quarters, &NotesOrRest)> {
    sounding.iter().scan(Quarters::ZERO, |at, one| {
        let here = *at;
        *at += one.length;
        Some((here, one))
    })
}

/// One sound in its values, tied together.
fn pieces(
    at: Quarters,
    one: &NotesOrRest,
    tuplets: &[TupletStretch],
    groups: &Groups,
) -> Vec<Written> {
    let mut pieces = Vec::new();
    let end = at + one.length;
    let mut from = at;
    while from < end {
        let tuplet = tuplets.iter().find(|t| t.start <= from && from < t.end);
        let next = tuplets.iter().map(|t| t.start).find(|start| *start > from);
        let edge = tuplet.map(|t| t.end).or(next);
        let to = edge.map_or(end, |edge| edge.min(end));
        pieces.extend(values(from, to, tuplet.map(|t| t.tuplet), groups, one));
        from = to;
    }
    tie(&mut pieces, one.tie);
    pieces
}

fn values(
    from: Quarters,
    to: Quarters,
    tuplet: Option<Tuplet>,
    groups: &Groups,
    one: &NotesOrRest,
) -> Vec<Written> {
    let values = match tuplet {
        Some(t) => rhythm::plain((to - from) * num_rational::Ratio::new(t.actual, t.normal)),
        None => rhythm::split(from, to, groups, one.notes.is_empty()),
    };
    let mut at = from;
    let written = values.into_iter().map(|value| {
        let length = match tuplet {
            Some(t) => value.length() * num_rational::Ratio::new(t.normal, t.actual),
            None => value.length(),
        };
        let here = at;
        at += length;
        Written {
            value: Some(value),
            tuplet,
            ..plain(here, length, &one.notes)
        }
    });
    written.collect()
}

/// Ties the pieces of one sound together; `whole` says how the sound is tied to others.
fn tie(pieces: &mut [Written], whole: StartStop) {
    let last = pieces.len().saturating_sub(1);
    for (number, piece) in pieces.iter_mut().enumerate() {
        piece.tie = StartStop {
            starts: (number < last || whole.starts) && !piece.is_rest(),
            stops: (number > 0 || whole.stops) && !piece.is_rest(),
        };
    }
}

fn mark_tuplets(all: &mut [Written], tuplets: &[TupletStretch]) {
    for piece in all {
        let ends = piece.at + piece.length;
        piece.tuplet_mark = StartStop {
            starts: tuplets.iter().any(|t| t.start == piece.at),
            stops: tuplets.iter().any(|t| t.end == ends),
        };
        if piece.tuplet.is_none() {
            piece.tuplet_mark = StartStop::default();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn sounding(lengths: &[(i64, i64)]) -> Vec<NotesOrRest> {
        let note: Note = "C5".parse().unwrap();
        let one = |(number, (upper, lower)): (usize, &(i64, i64))| NotesOrRest {
            notes: if number % 3 == 2 { vec![] } else { vec![note] },
            length: Quarters::new(*upper, *lower),
            tie: StartStop::default(),
        };
        lengths.iter().enumerate().map(one).collect()
    }

    #[test]
    fn a_triplet_is_marked_from_end_to_end() {
        let bar = sounding(&[(1, 3), (1, 3), (1, 3), (3, 1)]);
        let written = written(&bar, Meter::COMMON, None);
        let marks: Vec<(bool, bool)> = written
            .iter()
            .map(|w| (w.tuplet_mark.starts, w.tuplet_mark.stops))
            .collect();
        assert_eq!(
            marks,
            [(true, false), (false, false), (false, true), (false, false)]
        );
    }

    #[test]
    fn an_empty_bar_is_one_rest() {
        let written = written(&[], Meter::COMMON, None);
        assert_eq!((written.len(), written[0].value), (1, None));
    }

    proptest! {
        /// The pieces fill the bar without a gap, and the tied ones sound as long as the notes did.
        #[test]
        fn nothing_is_lost(
            upper in 1u8..=16,
            lower in 0usize..4,
            lengths in prop::collection::vec((1i64..9, prop::sample::select(vec![1i64, 2, 3, 4, 5, 6, 7, 8, 9, 12, 16])), 1..12)
        ) {
            let meter = Meter::new(upper, [2, 4, 8, 16][lower]).unwrap();
            let bar = sounding(&lengths);
            let written = written(&bar, meter, None);
            let mut at = Quarters::ZERO;
            for piece in &written {
                prop_assert_eq!(piece.at, at);
                at += piece.length;
            }
            prop_assert_eq!(at, Quarters::of_bar(meter));
            let struck = written.iter().filter(|w| !w.is_rest() && !w.tie.stops).count();
            let mut left = Quarters::of_bar(meter);
            let mut expected = 0;
            for one in &bar {
                let heard = one.length.min(left);
                left = left - heard;
                expected += usize::from(!one.notes.is_empty() && heard > Quarters::ZERO);
            }
            prop_assert_eq!(struck, expected);
        }
    }
}
