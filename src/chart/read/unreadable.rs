//! Text that is not read at all: too long, or with characters that are not what they look like.

use super::text::{Text, lines};
use crate::chart::sizes::{LONGEST_LINE, MOST_BYTES};
use crate::chart::{Diagnostic, is_hidden};

/// Why nothing of a text is read, if nothing is.
pub(super) fn unreadable(source: &str) -> Option<Diagnostic> {
    if source.len() > MOST_BYTES {
        return Some(too_long(source));
    }
    long_line(source).or_else(|| control_character(source))
}

fn too_long(source: &str) -> Diagnostic {
    let message = format!(
        "this chart is too long: {} bytes, where {MOST_BYTES} would be thousands of pages",
        source.len()
    );
    Diagnostic::error(0..0, message, "a shorter chart")
}

/// The first line that is too long, if there is one. Nothing of it is looked at.
fn long_line(source: &str) -> Option<Diagnostic> {
    if source.len() <= LONGEST_LINE {
        return None;
    }
    let mut lines = lines(Text::new(source, 0));
    let line = lines.find(|line| line.text.len() > LONGEST_LINE)?;
    let message = format!(
        "this line is too long: {} bytes, where {LONGEST_LINE} would be far more than four bars",
        line.text.len()
    );
    Some(Diagnostic::error(
        line.at..line.at,
        message,
        "a shorter line",
    ))
}

fn control_character(source: &str) -> Option<Diagnostic> {
    // Nearly every chart is plain ASCII, and that is soon seen.
    let plain = |byte| matches!(byte, b' '..=b'~' | b'\n' | b'\r' | b'\t');
    if source.bytes().all(plain) {
        return None;
    }
    // Such a text doesn't read as it looks.
    let wrong = |c: char| is_hidden(c) && !matches!(c, '\n' | '\r' | '\t');
    let (at, c) = source.char_indices().find(|(_, c)| wrong(*c))?;
    let message = format!(
        "this is not plain text: byte {at} is the control character U+{:04X}",
        c as u32
    );
    Some(Diagnostic::error(at..at + c.len_utf8(), message, "text"))
}
