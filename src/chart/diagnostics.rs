//! All mistakes of one text together: the error of a reader that reports every mistake at once.

use std::error::Error;
use std::fmt;
use std::ops::Deref;

use super::Diagnostic;

/// Every mistake that was found, in the order of the text.
///
/// It is a slice of [`Diagnostic`]s; as text it is their messages, each with the byte it is about.
///
/// ```
/// let mistakes = compline::chart::read("| Fm7 | C D E |").unwrap_err();
/// assert_eq!(mistakes.len(), 1);
/// assert_eq!(mistakes.to_string(), "byte 8: 3 chords cannot share 4 beats equally");
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostics(Vec<Diagnostic>);

impl Deref for Diagnostics {
    type Target = [Diagnostic];

    fn deref(&self) -> &[Diagnostic] {
        &self.0
    }
}

impl From<Vec<Diagnostic>> for Diagnostics {
    fn from(all: Vec<Diagnostic>) -> Self {
        Self(all)
    }
}

impl From<Diagnostics> for Vec<Diagnostic> {
    fn from(all: Diagnostics) -> Self {
        all.0
    }
}

impl IntoIterator for Diagnostics {
    type Item = Diagnostic;
    type IntoIter = std::vec::IntoIter<Diagnostic>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<'a> IntoIterator for &'a Diagnostics {
    type Item = &'a Diagnostic;
    type IntoIter = std::slice::Iter<'a, Diagnostic>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

impl fmt::Display for Diagnostics {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let each = self.iter();
        let each = each.map(|one| format!("byte {}: {}", one.span.start, one.message));
        f.write_str(&each.collect::<Vec<_>>().join("; "))
    }
}

impl Error for Diagnostics {}
