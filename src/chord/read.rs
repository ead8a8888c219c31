//! Reading a symbol: what is written, then what it means.

use std::str::FromStr;

use super::{Chord, Symbol, Unread, build, grammar};

/// How charts say that there is no chord; upper and lower case, but a lone N only as a capital.
const NO_CHORD: [&str; 4] = ["n.c.", "n.c", "nc", "no chord"];

impl Symbol {
    /// The symbol written in `text`.
    ///
    /// # Errors
    ///
    /// When `text` is neither a chord nor one of the signs for no chord.
    pub fn read(text: &str) -> Result<Self, Unread> {
        if text == "N" || NO_CHORD.iter().any(|sign| sign.eq_ignore_ascii_case(text)) {
            Ok(Self::NoChord)
        } else {
            Chord::read(text).map(Self::Chord)
        }
    }
}

impl Chord {
    /// The chord written in `text`: the whole of it, nothing before or after.
    ///
    /// # Errors
    ///
    /// When a part of `text` is not understood, says two things at once (`C9b9`), or is longer than
    /// a hundred bytes.
    pub fn read(text: &str) -> Result<Self, Unread> {
        let parts = grammar::parts(text)?;
        build::chord(text, &parts)
    }
}

impl FromStr for Chord {
    type Err = Unread;

    fn from_str(text: &str) -> Result<Self, Unread> {
        Self::read(text)
    }
}
