//! How far the hand opens: the span from its lowest to its highest note.

use std::fmt;
use std::str::FromStr;

use crate::pitch::{Pitch, Semitones};

/// What to tell anybody who asks for a wide stretch.
pub const CAUTION: &str = "Wide stretches can hurt a hand. Stop when it hurts, and ask a teacher \
                           or a clinician; no span is claimed to be safe.";

/// The widest span the hand may take, thumb to little finger.
///
/// The default is a ninth, 14 semitones: the octave is reached by nearly every adult hand and the
/// tenth by a minority (Boyle, Boyle & Booker 2015, as summarised: 76 % of the men and 13 % of the
/// women measured spanned 21.6 cm).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Reach {
    /// So many semitones, whatever the colour of the keys.
    Semitones(u8),
}

impl Reach {
    /// The narrowest hand that still takes a rootless shape: a fifth.
    pub const LEAST: u8 = 7;
    /// Two octaves: wider than any hand; the limit is then no limit.
    pub const MOST: u8 = 24;

    /// The reach in semitones, or `None` outside [`Self::LEAST`] to [`Self::MOST`].
    pub fn semitones(count: u8) -> Option<Self> {
        (Self::LEAST..=Self::MOST)
            .contains(&count)
            .then_some(Self::Semitones(count))
    }

    /// Whether the hand spans these two keys.
    pub fn spans(self, low: Pitch, high: Pitch) -> bool {
        let Self::Semitones(most) = self;
        low.up_to(high) <= Semitones(i32::from(most))
    }

    /// Whether this setting deserves the [`CAUTION`]: anything over a ninth.
    pub fn is_wide(self) -> bool {
        let Self::Semitones(most) = self;
        most > 14
    }
}

impl Default for Reach {
    fn default() -> Self {
        Self::Semitones(14)
    }
}

impl fmt::Display for Reach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self::Semitones(most) = self;
        write!(f, "{most}")
    }
}

/// A text that is no reach.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotAReach(String);

impl fmt::Display for NotAReach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (least, most) = (Reach::LEAST, Reach::MOST);
        let Self(text) = self;
        write!(
            f,
            "`{text}` is not a reach: {least} to {most} semitones (an octave is 12)"
        )
    }
}

impl std::error::Error for NotAReach {}

impl FromStr for Reach {
    type Err = NotAReach;

    fn from_str(text: &str) -> Result<Self, NotAReach> {
        let count = text.trim().parse().ok();
        count
            .and_then(Self::semitones)
            .ok_or_else(|| NotAReach(text.to_owned()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ninth_is_spanned_and_a_tenth_is_not() {
        let span = |n: u8| Reach::default().spans(Pitch::MIDDLE_C, Pitch::new(60 + n).unwrap());
        assert!(span(14) && !span(15));
    }

    #[test]
    fn only_hands_are_reaches() {
        assert_eq!("16".parse(), Ok(Reach::Semitones(16)));
        for text in ["", "6", "25", "wide", "-3"] {
            assert!(text.parse::<Reach>().is_err(), "{text}");
        }
    }

    #[test]
    fn only_more_than_a_ninth_is_cautioned() {
        assert!(!Reach::default().is_wide() && Reach::Semitones(15).is_wide());
    }
}
