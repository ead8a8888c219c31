//! A bar of the left hand: `F3.Ab3.C4 ? -`, one entry for each chord.

use super::melody::note;
use super::problems::Problems;
use super::text::Text;
use crate::chart::{Cell, MiddleC, Problem, Wish};
use crate::chord::Symbol;
use crate::pitch::Note;

/// Five fingers, and a thumb or any other finger can hold down two keys.
const MOST_NOTES: usize = 10;

/// Reads the entries for `chords`; notes every mistake in them.
///
/// A single `?` or `-` stands for all chords of the bar. Where the chords could not be read
/// (`None`), the number of entries is not held against them.
pub(super) fn hand(
    body: Text<'_>,
    chords: Option<&[Cell]>,
    middle_c: MiddleC,
    problems: &mut Problems,
) -> Vec<Wish> {
    let body = body.trim_unless_blank();
    let mut wishes = Vec::new();
    let mut words = 0;
    for word in body.words() {
        let cell = chords.and_then(|cells| cells.get(words));
        words += 1;
        match entry(word, cell, middle_c) {
            Ok(wish) => wishes.push(wish),
            Err(problem) => problems.add(problem),
        }
    }
    let Some(chords) = chords else { return wishes };
    match wishes.as_slice() {
        [all @ (Wish::Plan | Wish::Silent)] if words == 1 => vec![all.clone(); chords.len()],
        _ => {
            problems.add_some(wrong_number(body, words, chords.len()));
            wishes
        }
    }
}

fn entry(word: Text<'_>, chord: Option<&Cell>, middle_c: MiddleC) -> Result<Wish, Problem> {
    match word.text {
        "?" => Ok(Wish::Plan),
        "-" => Ok(Wish::Silent),
        _ if chord.is_some_and(|cell| *cell.symbol == Symbol::NoChord) => Err(Problem::error(
            word.range(),
            "the left hand has notes where there is no chord",
            "`-`, since N.C. is silence",
        )),
        _ => notes(word, middle_c).map(Wish::Given),
    }
}

fn notes(word: Text<'_>, middle_c: MiddleC) -> Result<Vec<Note>, Problem> {
    let mut notes: Vec<(Text<'_>, Note)> = Vec::new();
    for piece in word.split('.').take(MOST_NOTES + 1) {
        let next = note(piece, middle_c).map_err(|p| not_an_entry(p, word))?;
        if let Some((before, last)) = notes
            .last()
            .filter(|(_, last)| last.pitch() >= next.pitch())
        {
            return Err(out_of_order(*before, piece, *last == next));
        }
        notes.push((piece, next));
    }
    if notes.len() > MOST_NOTES {
        return Err(too_many(word));
    }
    Ok(notes.into_iter().map(|(_, note)| note).collect())
}

fn not_an_entry(problem: Problem, word: Text<'_>) -> Problem {
    if word.text.contains('.') {
        problem
    } else {
        problem.help("the left hand takes notes joined by `.` (F3.Ab3.C4), `?` or `-`")
    }
}

fn out_of_order(before: Text<'_>, after: Text<'_>, same: bool) -> Problem {
    let (lower, upper) = (before.text, after.text);
    let message = if same {
        format!("`{upper}` is there twice")
    } else {
        format!("the notes are out of order: `{upper}` is not above `{lower}`")
    };
    Problem::error(
        before.at..after.range().end,
        message,
        "notes from the lowest to the highest",
    )
}

fn too_many(word: Text<'_>) -> Problem {
    Problem::error(
        word.range(),
        format!("more than {MOST_NOTES} notes for one hand"),
        format!("at most {MOST_NOTES} notes"),
    )
}

fn wrong_number(body: Text<'_>, entries: usize, chords: usize) -> Option<Problem> {
    let (entries_text, chords_text) = (super::entries(entries), super::count(chords, "chord"));
    (entries != chords).then(|| {
        let problem = Problem::error(
            body.range(),
            format!("the left hand has {entries_text} here, but the bar has {chords_text}"),
            "one entry for each chord",
        );
        problem.help("one `?` or one `-` alone stands for every chord of the bar")
    })
}
