//! A bar of the left hand: `F3.Ab3.C4 ?A,leap=5 -`, one entry for each chord.

use std::str::FromStr;

use super::problems::Problems;
use super::text::Text;
use super::voicing::given;
use super::wishes::wishes;
use crate::chart::{Cell, Diagnostic, MiddleC, Span, Wish, Wishes};
use crate::chord::Symbol;
use crate::words::counted;

/// As many as a bar can have chords; beyond them entries are only counted.
const MOST_ENTRIES: usize = crate::chart::sizes::MOST_CHORDS_IN_A_BAR;

/// Reads the entries for `chords`; notes every mistake in them.
///
/// A single `?`, with its wishes, or `-` stands for all chords of the bar. Where the chords could not be read
/// (`None`), the number of entries is not held against them. With the entries comes where each stood.
pub(super) fn hand(
    body: Text<'_>,
    chords: Option<&[Cell]>,
    middle_c: MiddleC,
    problems: &mut Problems,
) -> (Vec<Wish>, Vec<Span>) {
    let body = body.trim_unless_blank();
    let lone = body.words().nth(1).is_none();
    let (mut wishes, mut spans) = (Vec::new(), Vec::new());
    let mut words = 0;
    for word in body.words() {
        // What stands for the whole bar is not held against its first chord.
        let own = chords.filter(|cells| !lone || cells.len() == 1);
        let cell = own.and_then(|cells| cells.get(words));
        words += 1;
        if words > MOST_ENTRIES {
            continue;
        }
        match entry(word, cell, middle_c) {
            Ok(wish) => {
                wishes.push(wish);
                spans.push(Span::new(word.range()));
            }
            Err(problem) => problems.add(problem),
        }
    }
    let Some(chords) = chords else {
        return (wishes, spans);
    };
    let wishes = match wishes.as_slice() {
        [all @ (Wish::Plan(_) | Wish::Silent)] if words == 1 => {
            chords.iter().map(|cell| under(cell, all)).collect()
        }
        _ => {
            problems.add_some(wrong_number(body, words, chords.len()));
            wishes
        }
    };
    (wishes, spans)
}

impl FromStr for Wish {
    type Err = Diagnostic;

    /// Reads an entry of the `lh` line, with middle C = C4. The problem's span is in this text.
    fn from_str(text: &str) -> Result<Self, Diagnostic> {
        entry(Text::new(text, 0), None, MiddleC::C4)
    }
}

fn entry(word: Text<'_>, chord: Option<&Cell>, middle_c: MiddleC) -> Result<Wish, Diagnostic> {
    if let Some(asked) = word.text.strip_prefix('?') {
        let wishes = wishes(word.split_at(word.text.len() - asked.len()).1, middle_c)?;
        return planned(word, chord, wishes);
    }
    match word.text {
        "-" => Ok(Wish::Silent),
        _ if chord.is_some_and(is_silent) => Err(Diagnostic::error(
            word.range(),
            "the left hand has notes where there is no chord",
            "`-`, since N.C. is silence",
        )),
        _ => given(word, middle_c).map(Wish::Given),
    }
}

fn planned(word: Text<'_>, chord: Option<&Cell>, wishes: Wishes) -> Result<Wish, Diagnostic> {
    if chord.is_some_and(is_silent) && !wishes.is_empty() {
        return Err(Diagnostic::error(
            word.range(),
            "the left hand has wishes where there is no chord",
            "`-` or `?`, since N.C. is silence",
        ));
    }
    Ok(Wish::Plan(wishes))
}

/// What an entry for the whole bar means for one of its chords: silence has no wishes.
fn under(cell: &Cell, all: &Wish) -> Wish {
    match all {
        Wish::Plan(_) if is_silent(cell) => Wish::PLAN,
        _ => all.clone(),
    }
}

fn is_silent(cell: &Cell) -> bool {
    *cell.symbol == Symbol::NoChord
}

fn wrong_number(body: Text<'_>, entries: usize, chords: usize) -> Option<Diagnostic> {
    (entries != chords).then(|| {
        let (entries_text, chords_text) = (counted(entries, "entry"), counted(chords, "chord"));
        let problem = Diagnostic::error(
            body.range(),
            format!("the left hand has {entries_text} here, but the bar has {chords_text}"),
            "one entry for each chord",
        );
        problem.help("one `?` or one `-` alone stands for every chord of the bar")
    })
}
