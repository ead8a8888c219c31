//! How far the hand opens: the span from its lowest to its highest note.

use std::fmt;
use std::str::FromStr;

use crate::pitch::{Pitch, Semitones};

use super::keyboard::{hand_for, least_hand_for};
use super::{Millimetres, NotALength};

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
    /// A hand, measured from the tip of the thumb to the tip of the little finger, opened as far as is
    /// comfortable. Whether it spans two keys follows from where the keys lie: see [`hand_for`], whose
    /// margin is an inference from published zones and not a measurement.
    Span(Millimetres),
}

impl Reach {
    /// The narrowest hand that still takes a rootless shape: a fifth.
    pub const LEAST: u8 = 7;
    /// Two octaves: wider than any hand; the limit is then no limit.
    pub const MOST: u8 = 24;

    /// The smallest hand that can be given in millimetres: it spans a sixth on white keys.
    pub const LEAST_HAND: Millimetres = Millimetres(130);
    /// The largest, well over any that was measured.
    pub const MOST_HAND: Millimetres = Millimetres(300);

    /// The reach in semitones, or `None` outside [`Self::LEAST`] to [`Self::MOST`].
    pub fn semitones(count: u8) -> Option<Self> {
        (Self::LEAST..=Self::MOST)
            .contains(&count)
            .then_some(Self::Semitones(count))
    }

    /// The reach of a measured hand, such as `200mm`, `20cm` or `7.9in`.
    ///
    /// ```
    /// # use compline::hand::{Reach, key};
    /// let hand = Reach::of_hand("20cm").unwrap();
    /// let spans = |low, high| hand.spans(key(low).unwrap(), key(high).unwrap());
    /// // Two ninths of fourteen semitones: which keys they are decides.
    /// assert!(spans("C3", "D4") && !spans("Eb3", "F4"));
    /// assert!(Reach::of_hand("2cm").is_err());
    /// ```
    ///
    /// # Errors
    ///
    /// A text that is no length, or a length outside [`Self::LEAST_HAND`] to [`Self::MOST_HAND`].
    pub fn of_hand(text: &str) -> Result<Self, NotAHand> {
        let span: Millimetres = text.parse().map_err(NotAHand::Length)?;
        let possible = (Self::LEAST_HAND..=Self::MOST_HAND).contains(&span);
        possible
            .then_some(Self::Span(span))
            .ok_or(NotAHand::OutOfBounds(span))
    }

    /// Whether the hand spans these two keys.
    pub fn spans(self, low: Pitch, high: Pitch) -> bool {
        match self {
            Self::Semitones(most) => low.up_to(high) <= Semitones(i32::from(most)),
            Self::Span(hand) => hand_for(low, high) <= hand,
        }
    }

    /// The most semitones the hand spans, on whichever keys.
    pub(super) fn widest(self) -> u8 {
        match self {
            Self::Semitones(most) => most,
            Self::Span(hand) => {
                let spans =
                    |semitones: &u8| least_hand_for(*semitones).is_some_and(|least| least <= hand);
                let mut widths = (Self::LEAST..=Self::MOST).rev();
                widths.find(spans).unwrap_or(Self::LEAST)
            }
        }
    }

    /// Whether this setting deserves a word of caution: anything that lets a span over a ninth through,
    /// on whichever keys.
    pub fn is_wide(self) -> bool {
        match self {
            Self::Semitones(most) => most > 14,
            Self::Span(hand) => least_hand_for(15).is_some_and(|least| hand >= least),
        }
    }
}

impl Default for Reach {
    fn default() -> Self {
        Self::Semitones(14)
    }
}

impl fmt::Display for Reach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Semitones(most) => write!(f, "{most}"),
            Self::Span(hand) => write!(f, "{hand}"),
        }
    }
}

/// A text that is no hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotAHand {
    /// It is no length.
    Length(NotALength),
    /// No hand is of this size.
    OutOfBounds(Millimetres),
}

impl fmt::Display for NotAHand {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Length(why) => write!(f, "{why}"),
            Self::OutOfBounds(span) => write!(
                f,
                "{span} from thumb to little finger is no hand: {} to {}",
                Reach::LEAST_HAND,
                Reach::MOST_HAND
            ),
        }
    }
}

impl std::error::Error for NotAHand {}

/// A text that is no reach.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotAReach(String);

impl fmt::Display for NotAReach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (least, most) = (Reach::LEAST, Reach::MOST);
        let Self(text) = self;
        write!(
            f,
            "`{text}` is not a reach: {least} to {most} semitones (an octave is 12); \
             a hand in millimetres is given as --hand"
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
        let wide = |mm| Reach::Span(Millimetres(mm)).is_wide();
        // From Db up to E, the narrowest fifteen semitones: 198.7 mm.
        assert!(!wide(203) && wide(204));
    }

    #[test]
    fn the_published_zones_come_out() {
        let spans = |mm, low: u8, high: u8| {
            let [low, high] = [low, high].map(|midi| Pitch::new(midi).unwrap());
            Reach::Span(Millimetres(mm)).spans(low, high)
        };
        // C to D, C to E, C to F: ninth, tenth and eleventh on white keys.
        assert!(!spans(192, 48, 62) && spans(193, 48, 62));
        assert!(!spans(215, 48, 64) && spans(216, 48, 64));
        assert!(!spans(239, 48, 65) && spans(240, 48, 65));
        // Every octave needs the same hand.
        for low in 48..60 {
            assert!(!spans(168, low, low + 12) && spans(169, low, low + 12));
        }
    }

    #[test]
    fn a_hand_has_a_size_that_hands_have() {
        assert_eq!(Reach::of_hand("130mm"), Ok(Reach::Span(Millimetres(130))));
        assert_eq!(Reach::of_hand("30cm"), Ok(Reach::Span(Millimetres(300))));
        for (text, said) in [
            (
                "129mm",
                "129 mm from thumb to little finger is no hand: 130 mm to 300 mm",
            ),
            (
                "12in",
                "304 mm from thumb to little finger is no hand: 130 mm to 300 mm",
            ),
            ("200", "`200` has no unit: write mm, cm or in after it"),
            ("big", "`big` is not a length such as 200mm, 20cm or 7.9in"),
        ] {
            assert_eq!(Reach::of_hand(text).unwrap_err().to_string(), said);
        }
    }
}
