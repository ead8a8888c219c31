//! How much a finding matters. A rule that is off has no severity: `None`.

use std::fmt;
use std::str::FromStr;

/// How much a finding matters: the three levels of SARIF 2.1.0 (section 3.27.10), least first.
///
/// ```
/// use compline::check::Severity;
///
/// assert!(Severity::Note < Severity::Warning && Severity::Warning < Severity::Error);
/// assert_eq!("warning".parse(), Ok(Severity::Warning));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Worth knowing; nothing need be done.
    Note,
    /// It can be played and is the chord, but it sounds or moves worse than it need.
    Warning,
    /// It can't be played, or isn't the chord.
    Error,
}

impl Severity {
    /// All of them, least first.
    pub const ALL: [Self; 3] = [Self::Note, Self::Warning, Self::Error];

    /// The word for it in settings and output, which is SARIF's.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// A word that is no severity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotASeverity(String);

impl fmt::Display for NotASeverity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` is not a severity: note, warning, error", self.0)
    }
}

impl std::error::Error for NotASeverity {}

impl FromStr for Severity {
    type Err = NotASeverity;

    fn from_str(text: &str) -> Result<Self, NotASeverity> {
        let found = Self::ALL.into_iter().find(|level| level.name() == text);
        found.ok_or_else(|| NotASeverity(text.to_owned()))
    }
}
