//! Where `%` is read, and where it may stand: alone in its bar, after a bar of the same length.

use std::ops::Range;

use super::text::Text;
use crate::chart::Diagnostic;
use crate::chart::percent_sign::PERCENT_SIGN;
use crate::words::counted;

/// Whether a word of a bar is a `%`.
pub(super) fn is_percent_sign(word: Text<'_>) -> bool {
    word.text == PERCENT_SIGN
}

/// What is wrong with a `%` at a place, in a bar of `beats` beats: it needs a bar before it, and one of the same length.
pub(super) fn misplaced(place: Range<usize>, before: Option<u8>, beats: u8) -> Option<Diagnostic> {
    match before {
        None => Some(nothing_to_repeat(place)),
        Some(before) => (before != beats).then(|| other_length(place, before, beats)),
    }
}

/// A `%` beside something else.
pub(super) fn among_others(sign: Text<'_>) -> Diagnostic {
    Diagnostic::error(
        sign.range(),
        "`%` stands alone in its bar",
        "nothing, or no other chord",
    )
    .help("`%` repeats the whole bar before")
}

fn nothing_to_repeat(place: Range<usize>) -> Diagnostic {
    Diagnostic::error(
        place,
        "`%` in the first bar has nothing to repeat",
        "a chord",
    )
}

fn other_length(place: Range<usize>, before: u8, beats: u8) -> Diagnostic {
    let [before, bar] = [before, beats].map(|n| counted(n, "beat"));
    let message = format!("`%` cannot repeat a bar of {before} in a bar of {bar}");
    Diagnostic::error(place, message, "chords").help("write the chords out")
}
