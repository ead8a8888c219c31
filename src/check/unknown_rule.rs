//! A name that no rule has.

use std::fmt;

/// A name that no rule has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownRule {
    /// The name.
    pub name: String,
    /// The rule whose name is nearest, if one is near.
    pub nearest: Option<&'static str>,
}

impl fmt::Display for UnknownRule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "there is no rule `{}`", self.name)?;
        match self.nearest {
            Some(nearest) => write!(f, "; did you mean `{nearest}`?"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for UnknownRule {}
