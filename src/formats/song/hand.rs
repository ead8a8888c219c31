//! The left hand of a bar as the chart language writes it: an entry for each chord.

use super::super::report::{HAND_MOVES, LossReport};
use super::SongChord;
use crate::chart::sizes::MOST_NOTES_OF_A_HAND;
use crate::chart::{Beats, Cell, Meter, Wish};
use crate::pitch::Note;
use crate::score::Quarters;

/// What the hand plays under each chord: the first notes it strikes there, else silence.
pub(super) fn wishes(
    hand: &[SongChord],
    cells: &[Cell],
    meter: Meter,
    report: &mut LossReport,
    place: &str,
) -> Vec<Wish> {
    let mut start = Beats::ZERO;
    let mut wishes = Vec::new();
    for cell in cells {
        let end = start + cell.beats;
        let (from, to) = (
            Quarters::of_beats(start, meter),
            Quarters::of_beats(end, meter),
        );
        start = end;
        let mut struck = hand
            .iter()
            .filter(|chord| chord.at >= from && chord.at < to);
        let silent = cell.symbol.chord().is_none();
        let Some(first) = struck.next().filter(|_| !silent) else {
            wishes.push(Wish::Silent);
            continue;
        };
        let notes = rising(&first.notes);
        if struck.any(|other| rising(&other.notes) != notes) {
            report.add(HAND_MOVES, place);
        }
        wishes.push(Wish::Given(notes.into()));
    }
    wishes
}

/// The notes from the lowest up, each key once.
fn rising(notes: &[Note]) -> Vec<Note> {
    let mut notes: Vec<Note> = notes.to_vec();
    notes.retain(|note| note.pitch().is_some());
    notes.sort_by_key(|note| note.pitch());
    notes.dedup_by_key(|note| note.pitch());
    notes.truncate(MOST_NOTES_OF_A_HAND);
    notes
}
