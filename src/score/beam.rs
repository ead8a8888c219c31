//! Beams: which short notes of a group are joined.

use super::groups::Groups;
use super::quarters::Quarters;
use super::written_note::{Beam, Written};

/// Joins the notes shorter than a quarter within each beat or group; rests part them. Eighths alone
/// are joined over two beats (common practice, no source).
pub(super) fn beam(all: &mut [Written], groups: &Groups) {
    let mut at = 0;
    while at < all.len() {
        let run = run(all.get(at..).unwrap_or_default(), groups);
        if let Some(notes) = all.get_mut(at..at + run) {
            join(notes);
        }
        at += run.max(1);
    }
}

/// How many notes from the first on are joined.
fn run(all: &[Written], groups: &Groups) -> usize {
    let Some(first) = all.first() else { return 0 };
    let (_, end) = groups.around(first.at);
    let wide = count(all, end);
    let only_eighths =
        |notes: &[Written]| notes.iter().all(|w| flags(w) == 1 && w.tuplet.is_none());
    let in_threes = groups.unit < Quarters::whole(1);
    if in_threes || all.get(..wide).is_some_and(only_eighths) {
        return wide;
    }
    let beats = (first.at.ratio() / groups.unit.ratio()).floor() + 1;
    count(all, (groups.unit * beats).min(end))
}

fn count(all: &[Written], end: Quarters) -> usize {
    all.iter()
        .take_while(|w| w.at < end && flags(w) > 0)
        .count()
}

/// How many beams a note can have; a rest has none.
fn flags(written: &Written) -> u8 {
    let value = written.value.filter(|_| !written.is_rest());
    value.map_or(0, |value| value.flags())
}

fn join(notes: &mut [Written]) {
    if notes.len() < 2 {
        return;
    }
    let flags: Vec<u8> = notes.iter().map(flags).collect();
    for (at, note) in notes.iter_mut().enumerate() {
        let here = flags.get(at).copied().unwrap_or(0);
        let before = at.checked_sub(1).and_then(|at| flags.get(at)).copied();
        let after = flags.get(at + 1).copied();
        note.beams = (1..=here)
            .map(|level| {
                let joined = |other: Option<u8>| other.is_some_and(|other| other >= level);
                match (joined(before), joined(after)) {
                    (true, true) => Beam::Continue,
                    (true, false) => Beam::End,
                    (false, true) => Beam::Begin,
                    (false, false) if before.is_some() => Beam::BackwardHook,
                    (false, false) => Beam::ForwardHook,
                }
            })
            .collect();
    }
}

#[cfg(test)]
mod tests {
    use super::Beam::{Begin, Continue, End};
    use super::*;
    use crate::score::{NotesOrRest, written};

    fn beams(meter: &str, lengths: &[(i64, i64)]) -> Vec<Vec<Beam>> {
        let bar: Vec<NotesOrRest> = lengths
            .iter()
            .map(|(upper, lower)| NotesOrRest {
                notes: vec!["C5".parse().unwrap()],
                length: Quarters::new(*upper, *lower),
                tie: Default::default(),
            })
            .collect();
        let written = written(&bar, meter.parse().unwrap(), None);
        written.into_iter().map(|w| w.beams).collect()
    }

    #[test]
    fn a_sixteenth_beside_a_dotted_eighth_has_a_stub() {
        let found = beams("1/4", &[(3, 4), (1, 4)]);
        assert_eq!(found, [vec![Begin], vec![End, Beam::BackwardHook]]);
        let found = beams("1/4", &[(1, 4), (3, 4)]);
        assert_eq!(found, [vec![Begin, Beam::ForwardHook], vec![End]]);
    }

    #[test]
    fn four_eighths_share_a_beam_and_the_middle_of_the_bar_parts_them() {
        let found = beams("4/4", &[(1, 2); 8]);
        let firsts: Vec<Beam> = found.iter().map(|beams| beams[0]).collect();
        let half = [Begin, Continue, Continue, End];
        assert_eq!(firsts, [half, half].concat());
    }

    #[test]
    fn compound_meters_join_in_threes() {
        let found = beams("6/8", &[(1, 2); 6]);
        let firsts: Vec<Beam> = found.iter().map(|beams| beams[0]).collect();
        assert_eq!(firsts, [Begin, Continue, End, Begin, Continue, End]);
    }
}
