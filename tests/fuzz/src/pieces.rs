//! Texts made of the words of a format, so that more of them are sound than single bytes would make.

use std::borrow::Cow;

/// What the first byte of an input is that names pieces: none that a text can begin with.
const NAMES_PIECES: u8 = 0xff;

/// So many pieces are put in a row at the most: longer rows say nothing new, and take long to read.
const MOST: usize = 200;

/// The text of an input: of one that names pieces all of them in a row, a byte each; else its bytes as they are,
/// or nothing where they are no text.
pub fn pieced<'a>(bytes: &'a [u8], pieces: &[&str]) -> Cow<'a, str> {
    match bytes {
        [NAMES_PIECES, picks @ ..] => {
            let pick = |pick: &u8| pieces[usize::from(*pick) % pieces.len()];
            Cow::Owned(picks.iter().take(MOST).map(pick).collect())
        }
        _ => Cow::Borrowed(std::str::from_utf8(bytes).unwrap_or_default()),
    }
}
