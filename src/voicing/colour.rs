//! Colour: how much a voicing adds to its symbol. Which tones that makes is worked out in
//! [`super::filling`].

use std::fmt;
use std::str::FromStr;

/// How much is added to what the symbol says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Colour {
    /// Only the tones the symbol asks for: a plain C7 keeps its root, a triad stays a triad.
    Written,
    /// The tensions that fit where the chord goes; a bare triad becomes a six-nine or a minor ninth.
    #[default]
    Natural,
    /// As natural, but dominants that resolve are altered: b9 or #9 with b13.
    Altered,
}

impl Colour {
    /// All three.
    pub const ALL: [Self; 3] = [Self::Written, Self::Natural, Self::Altered];

    /// The word for it in settings and output.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Written => "written",
            Self::Natural => "natural",
            Self::Altered => "altered",
        }
    }
}

impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// A word that is no colour.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotAColour(String);

impl fmt::Display for NotAColour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(text) = self;
        write!(f, "`{text}` is not a colour: written, natural or altered")
    }
}

impl std::error::Error for NotAColour {}

impl FromStr for Colour {
    type Err = NotAColour;

    fn from_str(text: &str) -> Result<Self, NotAColour> {
        let found = Self::ALL.into_iter().find(|colour| colour.name() == text);
        found.ok_or_else(|| NotAColour(text.to_owned()))
    }
}
