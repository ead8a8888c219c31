//! Notes joined by dots, as a voicing is typed.

use super::melody::note;
use super::text::Text;
use crate::chart::sizes::MOST_NOTES_OF_A_HAND;
use crate::chart::{Diagnostic, MiddleC};
use crate::pitch::Note;

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
