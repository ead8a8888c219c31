//! Notes joined by dots, as a voicing is typed.

use std::cell::RefCell;
use std::sync::Arc;

use super::melody::note;
use super::remembered::Remembered;
use super::text::Text;
use crate::chart::sizes::MOST_NOTES_OF_A_HAND;
use crate::chart::{Diagnostic, MiddleC};
use crate::pitch::Note;

thread_local! {
    /// Entries of charts that call middle C C4, as nearly all do: each thread has its own.
    static KNOWN: RefCell<Remembered<Arc<[Note]>>> = RefCell::default();
}

/// [`notes`] that a chart gives, read or remembered.
pub(super) fn given(word: Text<'_>, middle_c: MiddleC) -> Result<Arc<[Note]>, Diagnostic> {
    let read = || notes(word, middle_c).map(Arc::from);
    match middle_c {
        MiddleC::C4 => KNOWN.with_borrow_mut(|known| known.get(word.text, read)),
        _ => read(),
    }
}

/// Notes joined by `.`, from the lowest to the highest.
pub(super) fn notes(word: Text<'_>, middle_c: MiddleC) -> Result<Vec<Note>, Diagnostic> {
    let mut notes: Vec<(Text<'_>, Note)> = Vec::new();
    for piece in word.split('.').take(MOST_NOTES_OF_A_HAND + 1) {
        let next = note(piece, middle_c).map_err(|p| not_an_entry(p, word))?;
        if let Some((before, last)) = notes
            .last()
            .filter(|(_, last)| last.pitch() >= next.pitch())
        {
            return Err(out_of_order(*before, piece, *last == next));
        }
        notes.push((piece, next));
    }
    if notes.len() > MOST_NOTES_OF_A_HAND {
        return Err(too_many(word));
    }
    Ok(notes.into_iter().map(|(_, note)| note).collect())
}

fn out_of_order(before: Text<'_>, after: Text<'_>, same: bool) -> Diagnostic {
    let (lower, upper) = (before.text, after.text);
    let message = if same {
        format!("`{upper}` is there twice")
    } else {
        format!("the notes are out of order: `{upper}` is not above `{lower}`")
    };
    Diagnostic::error(
        before.at..after.range().end,
        message,
        "notes from the lowest to the highest",
    )
}

fn too_many(word: Text<'_>) -> Diagnostic {
    Diagnostic::error(
        word.range(),
        format!("more than {MOST_NOTES_OF_A_HAND} notes for one hand"),
        format!("at most {MOST_NOTES_OF_A_HAND} notes"),
    )
}

fn not_an_entry(problem: Diagnostic, word: Text<'_>) -> Diagnostic {
    if word.text.contains('.') {
        problem
    } else {
        problem.help(
            "the left hand takes notes joined by `.` (F3.Ab3.C4), `-`, or `?` with its wishes \
             (?A,leap=5)",
        )
    }
}
