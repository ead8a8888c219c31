//! How a chord moves on to the next one.

use super::chord_kind::{ChordKind, RootAndKind};

/// How a chord moves on to the next different one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Resolution {
    /// Down a fifth to a chord with a major third, another dominant included: V7/IV and V7/V take 9
    /// and 13 (Berklee HARM 121 sheet, 2008).
    FifthIntoMajor,
    /// Down a fifth to a chord with a minor third: V7/iii and V7/vi take b9, #9 and b13, and many
    /// players treat V7/ii the same (same sheet).
    FifthIntoMinor,
    /// Down a half step, as a tritone substitute does: 9, #11, 13 (from memory, Nettles & Graf).
    HalfStepDown,
    /// Any other way, or nowhere.
    #[default]
    Elsewhere,
}

impl Resolution {
    pub(super) fn between(chord: RootAndKind, next: Option<RootAndKind>) -> Self {
        let Some(next) = next else {
            return Self::Elsewhere;
        };
        match (chord.up_to(next), next.has_minor_third()) {
            (5, true) => Self::FifthIntoMinor,
            (5, false) => Self::FifthIntoMajor,
            (11, _) => Self::HalfStepDown,
            _ => Self::Elsewhere,
        }
    }

    /// Its name in JSON.
    pub const fn name(self) -> &'static str {
        match self {
            Self::FifthIntoMajor => "fifth-into-major",
            Self::FifthIntoMinor => "fifth-into-minor",
            Self::HalfStepDown => "half-step-down",
            Self::Elsewhere => "elsewhere",
        }
    }

    /// Whether it goes down a fifth.
    pub const fn falls(self) -> bool {
        matches!(self, Self::FifthIntoMajor | Self::FifthIntoMinor)
    }
}

impl RootAndKind {
    fn has_minor_third(self) -> bool {
        matches!(
            self.kind,
            ChordKind::Minor | ChordKind::HalfDiminished | ChordKind::Diminished
        )
    }
}
