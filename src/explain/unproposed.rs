//! Why nothing can be proposed for a chart, and what would help.

use std::fmt;

use crate::reharm::Unproposed;

impl Unproposed {
    /// What would help.
    pub const fn help(&self) -> Option<&'static str> {
        match self {
            Self::NoChords | Self::NoPlace { settled: 0 } => None,
            Self::Settled => Some(
                "write `?` in the `lh` row under the chords that may be replaced, or leave the row out of account with --replan",
            ),
            Self::Held(_) => Some("--bar N says what holds a bar, --free N frees it"),
            Self::Ways(_) => Some("allow more techniques, or leave --ways out for all"),
            Self::Melody(_) => Some("to see them all the same: --ignore-melody"),
            Self::NoPlace { .. } => Some(
                "chords with notes or wishes in the `lh` row are left alone: write `?` there, or --replan",
            ),
        }
    }
}

impl fmt::Display for Unproposed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("nothing to propose: ")?;
        match self {
            Self::NoChords => f.write_str("no chord is played"),
            Self::Settled => f.write_str("the `lh` row settles every chord"),
            Self::Held(1) => f.write_str("the only one would take what is held"),
            Self::Held(all) => write!(f, "all {all} would take what is held"),
            Self::Ways(1) => f.write_str("these techniques know nothing here; others know one way"),
            Self::Ways(all) => write!(
                f,
                "these techniques know nothing here; others know {all} ways"
            ),
            Self::Melody(1) => f.write_str("the melody refuses the only one"),
            Self::Melody(refused) => write!(f, "the melody refuses all {refused}"),
            Self::NoPlace { settled: 0 } => f.write_str("no technique fits these chords"),
            Self::NoPlace { .. } => {
                f.write_str("no technique fits the chords that are not settled")
            }
        }
    }
}
