//! The melody as it is heard: each note with its place in its bar and the notes beside it.
//!
//! A note tied over a bar line is one note: what stands beside it is what stands beside the whole of it.

use super::{Bar, Beats};
use crate::pitch::Note;

/// A note of the melody as heard in a slot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MelodyNote {
    /// The note.
    pub note: Note,
    /// The beat of the bar it starts on, from 1; earlier than the slot's for a note held into it. A note
    /// tied to the bar before starts on 1 here.
    pub beat: Beats,
    /// How long it lasts in this bar, all in all.
    pub beats: Beats,
    /// Whether it is tied to the first note of the bar that is played next.
    pub tied: bool,
    /// The notes just before and just after it, as they stand on the page, ties counted as one; `None`
    /// where the melody rests.
    pub beside: [Option<Note>; 2],
}

/// The notes of each of these bars, which stand one after the other on the page.
pub(super) fn melodies(bars: &[&Bar]) -> Vec<Vec<MelodyNote>> {
    let behind = behind_first(bars);
    let mut all: Vec<Vec<MelodyNote>> = Vec::with_capacity(bars.len());
    for (at, bar) in bars.iter().enumerate() {
        let last = at.checked_sub(1).and_then(|at| bars.get(at)).copied();
        let joined = last.is_some_and(|last| last.is_tied_to(bar));
        let before = match all.last().and_then(|notes: &Vec<MelodyNote>| notes.last()) {
            Some(note) if joined => note.beside[0],
            _ => last.and_then(last_note),
        };
        let after = match bars.get(at + 1) {
            Some(next) if bar.is_tied_to(next) => behind.get(at + 1).copied().flatten(),
            next => next.and_then(|next| first_note(next)),
        };
        all.push(notes(bar, [before, after]));
    }
    all
}

/// For each bar, what follows the whole of its first note.
fn behind_first(bars: &[&Bar]) -> Vec<Option<Note>> {
    let mut behind = vec![None; bars.len()];
    let mut next: Option<(&Bar, Option<Note>)> = None;
    for (bar, behind) in bars.iter().zip(&mut behind).rev() {
        let second = bar.melody.as_deref().and_then(|events| events.get(1));
        *behind = match (second, next) {
            (Some(second), _) => second.note,
            (None, Some((next, behind))) if bar.is_tied_to(next) => behind,
            (None, next) => next.and_then(|(next, _)| first_note(next)),
        };
        next = Some((bar, *behind));
    }
    behind
}

fn first_note(bar: &Bar) -> Option<Note> {
    bar.melody.as_deref()?.first()?.note
}

fn last_note(bar: &Bar) -> Option<Note> {
    bar.melody.as_deref()?.last()?.note
}

/// The notes of a bar; `beside` is what stands before its first one and behind its last one.
fn notes(bar: &Bar, [before, after]: [Option<Note>; 2]) -> Vec<MelodyNote> {
    let events = bar.melody.as_deref().unwrap_or_default();
    let mut beat = Beats::whole(1);
    let mut melody = Vec::new();
    for (at, event) in events.iter().enumerate() {
        if let Some(note) = event.note {
            let earlier = at.checked_sub(1).and_then(|at| events.get(at));
            let later = events.get(at + 1);
            melody.push(MelodyNote {
                note,
                beat,
                beats: event.beats,
                tied: event.tied,
                beside: [
                    earlier.map_or(before, |event| event.note),
                    later.map_or(after, |event| event.note),
                ],
            });
        }
        beat = beat + event.beats;
    }
    melody
}

#[cfg(test)]
mod tests {
    use crate::chart::read;

    /// What stands beside the first note of each bar.
    fn beside(melody: &str) -> Vec<String> {
        let chords = vec!["C"; melody.matches('|').count() + 1].join(" | ");
        let chart = read(&format!("| {chords} |\nmel | {melody} |\n")).unwrap();
        let slots = chart.slots();
        let firsts = slots.iter().map(|slot| slot.melody_notes[0].beside);
        let shown = firsts.map(|notes| {
            notes
                .map(|note| note.map_or("r".to_owned(), |n| n.to_string()))
                .join(" ")
        });
        shown.collect()
    }

    #[test]
    fn the_notes_beside_a_tied_note_are_those_beside_the_whole_of_it() {
        assert_eq!(
            beside("E4:4 | G4:4- | G4:4- | G4:1 A4:3"),
            ["r G4", "E4 A4", "E4 A4", "E4 A4"]
        );
        // Struck again, a note stands beside itself.
        assert_eq!(beside("G4:4 | G4:4 | r:1 A4:3"), ["r G4", "G4 r", "r r"]);
        assert_eq!(beside("G4:4- | G4:4"), ["r r", "r r"]);
    }
}
