//! Jumps: the words after `@` that send the player to another place on the page.
//!
//! Where it stops: what is played after a jump is worked out by the form.

use std::fmt;
use std::str::FromStr;

/// A sign or instruction of the play order, as printed music has them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Jump {
    /// `@segno`: the place `@ds` goes back to
    Segno,
    /// `@coda`: the place `@to-coda` goes on to
    Coda,
    /// `@to-coda`: leave for the coda, after a jump back
    ToCoda,
    /// `@fine`: the end, after a jump back
    Fine,
    /// `@dc`: back to the beginning
    DaCapo,
    /// `@ds`: back to the segno
    DalSegno,
    /// `@dc-al-fine`
    DaCapoAlFine,
    /// `@dc-al-coda`
    DaCapoAlCoda,
    /// `@ds-al-fine`
    DalSegnoAlFine,
    /// `@ds-al-coda`
    DalSegnoAlCoda,
}

impl Jump {
    /// Every jump.
    pub const ALL: [Self; 10] = [
        Self::Segno,
        Self::Coda,
        Self::ToCoda,
        Self::Fine,
        Self::DaCapo,
        Self::DalSegno,
        Self::DaCapoAlFine,
        Self::DaCapoAlCoda,
        Self::DalSegnoAlFine,
        Self::DalSegnoAlCoda,
    ];

    /// The word that stands after `@`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Segno => "segno",
            Self::Coda => "coda",
            Self::ToCoda => "to-coda",
            Self::Fine => "fine",
            Self::DaCapo => "dc",
            Self::DalSegno => "ds",
            Self::DaCapoAlFine => "dc-al-fine",
            Self::DaCapoAlCoda => "dc-al-coda",
            Self::DalSegnoAlFine => "ds-al-fine",
            Self::DalSegnoAlCoda => "ds-al-coda",
        }
    }

    /// Whether it is a place to arrive at, before the bar's first beat, rather than an instruction
    /// that acts at the bar's end.
    pub const fn is_target(self) -> bool {
        matches!(self, Self::Segno | Self::Coda)
    }
}

impl fmt::Display for Jump {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "@{}", self.word())
    }
}

/// A word that is no jump.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotAJump;

impl FromStr for Jump {
    type Err = NotAJump;

    /// Reads the word after `@`, in either case.
    fn from_str(word: &str) -> Result<Self, NotAJump> {
        Self::ALL
            .into_iter()
            .find(|jump| jump.word().eq_ignore_ascii_case(word))
            .ok_or(NotAJump)
    }
}
