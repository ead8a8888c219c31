//! Why a melody note does not fit a chord, in words.

use std::fmt;

use super::phrases::a_degree;
use crate::harmony::Misfit;

impl fmt::Display for Misfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Foreign(degree) => write!(f, "the chord has no place for {}", a_degree(*degree)),
            Self::MinorNinth { under, note } => {
                write!(
                    f,
                    "its {under} would rub a minor ninth under the melody's {note}"
                )
            }
            Self::NotHere(degree) => write!(f, "a {degree} does not fit this chord in its place"),
        }
    }
}
