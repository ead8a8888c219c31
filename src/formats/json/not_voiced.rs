//! Why a text is no voiced chart.

use std::fmt;

/// Why a text is no voiced chart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotVoiced(String);

impl fmt::Display for NotVoiced {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for NotVoiced {}

impl NotVoiced {
    /// It is none for this reason.
    pub(super) fn new(why: String) -> Self {
        Self(why)
    }

    /// The same, with the bar in which it is found.
    pub(super) fn in_bar(self, bar: usize) -> Self {
        Self(format!("bar {bar}: {}", self.0))
    }
}

/// It is refused for this reason.
pub(super) fn refuse<T>(why: String) -> Result<T, NotVoiced> {
    Err(NotVoiced(why))
}

pub(super) fn wrong(text: impl fmt::Display, what: &str) -> NotVoiced {
    NotVoiced(format!("`{text}` is not {what}"))
}
