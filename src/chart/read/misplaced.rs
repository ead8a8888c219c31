//! What is said of a line that can't stand where it stands.

use super::text::Text;
use crate::chart::Diagnostic;

pub(super) fn open_heading(line: Text<'_>) -> Diagnostic {
    Diagnostic::error(
        line.range(),
        "this section name is never closed",
        "a name in brackets, such as [A]",
    )
}

pub(super) fn behind_heading(behind: Text<'_>) -> Diagnostic {
    Diagnostic::error(
        behind.range(),
        "this cannot stand behind a section name",
        "bars, or nothing",
    )
}

pub(super) fn late_header(name: Text<'_>) -> Diagnostic {
    let message = format!("`{}` stands below the beginning of the music", name.shown());
    Diagnostic::error(name.range(), message, "bars or a section")
        .help("move this line above the first section or bar; only `key`, `meter` and `tempo` may change on the way")
}

pub(super) fn given_twice(name: Text<'_>) -> Diagnostic {
    let message = format!("`{}` is given twice", name.shown());
    Diagnostic::error(name.range(), message, "one line of this name")
}

pub(super) fn unknown_row(label: Text<'_>) -> Diagnostic {
    let message = format!("`{}` is not a label", label.shown());
    Diagnostic::error(label.range(), message, "mel, lh or was")
        .help("chords start with a capital; a line of chords has no label, `mel` is the melody, `lh` the left hand, `was` the chords before a reharmonisation")
}

pub(super) fn row_without_chords(label: Text<'_>) -> Diagnostic {
    let message = format!("this `{}` line has no chord line above it", label.text);
    Diagnostic::error(label.range(), message, "a line of chords first")
}

pub(super) fn row_twice(label: Text<'_>) -> Diagnostic {
    let message = format!("the chord line above has two `{}` lines", label.text);
    Diagnostic::error(label.range(), message, "one line of each label")
}
