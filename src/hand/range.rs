//! The stretch of the keyboard a hand stays in. Where the melody lies is another file's affair.

use std::fmt;
use std::str::FromStr;

use crate::pitch::{Note, Pitch};

/// The lowest and the highest key the hand may take, both included. Default C3 to A4.
///
/// The default is the middle of the piano: lower and four notes get muddy, higher and they leave
/// the melody no room (common practice; the published advice runs from C3 to somewhere between E4
/// and A4).
///
/// ```
/// # use compline::hand::Range;
/// let range: Range = "C3-A4".parse().unwrap();
/// assert_eq!(range, Range::default());
/// assert_eq!("48-69".parse(), Ok(range));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Range {
    low: Pitch,
    high: Pitch,
}

impl Range {
    /// The range, or `None` when `low` lies above `high`.
    pub fn new(low: Pitch, high: Pitch) -> Option<Self> {
        (low <= high).then_some(Self { low, high })
    }

    /// The lowest key.
    pub const fn low(self) -> Pitch {
        self.low
    }

    /// The highest key.
    pub const fn high(self) -> Pitch {
        self.high
    }

    /// Twice the middle, so that it is whole: the lowest plus the highest key.
    pub const fn doubled_middle(self) -> i32 {
        self.low.midi() as i32 + self.high.midi() as i32
    }

    /// Whether a key lies inside.
    pub fn holds(self, pitch: Pitch) -> bool {
        (self.low..=self.high).contains(&pitch)
    }
}

impl Default for Range {
    fn default() -> Self {
        let below = Pitch::MIDDLE_C.plus(crate::pitch::Semitones(-12));
        let above = Pitch::MIDDLE_C.plus(crate::pitch::Semitones(9));
        Self {
            low: below.unwrap_or(Pitch::MIDDLE_C),
            high: above.unwrap_or(Pitch::MIDDLE_C),
        }
    }
}

impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", Note::usual(self.low), Note::usual(self.high))
    }
}

/// Why a text is not a range.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotARange {
    /// Not two keys with `-` or `:` between them.
    Unreadable(String),
    /// The first key lies above the second.
    UpsideDown(Pitch, Pitch),
}

impl fmt::Display for NotARange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable(text) => write!(
                f,
                "`{text}` is not a range such as C3-A4, C3:A4 or 48-69 (middle C is C4, 60)"
            ),
            Self::UpsideDown(low, high) => write!(
                f,
                "the range's low end {} lies above its high end {}",
                Note::usual(*low),
                Note::usual(*high)
            ),
        }
    }
}

impl std::error::Error for NotARange {}

impl FromStr for Range {
    type Err = NotARange;

    fn from_str(text: &str) -> Result<Self, NotARange> {
        // Octaves may be negative ("C-1-C2"), so every separator is tried, not only the first.
        let (low, high) = text
            .match_indices(['-', ':'])
            .find_map(|(at, _)| Some((key(&text[..at])?, key(&text[at + 1..])?)))
            .ok_or_else(|| NotARange::Unreadable(text.to_owned()))?;
        Self::new(low, high).ok_or(NotARange::UpsideDown(low, high))
    }
}

/// One key as a note name or a MIDI number.
///
/// ```
/// # use compline::hand::key;
/// assert_eq!(key("Bb2"), key("46"));
/// assert_eq!(key("H2"), None);
/// ```
pub fn key(text: &str) -> Option<Pitch> {
    let text = text.trim();
    if !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit()) {
        return Pitch::new(text.parse().ok()?);
    }
    text.parse::<Note>().ok()?.pitch()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_read_as_names_and_numbers() {
        for text in ["C3-A4", "C3:A4", "48-69", "48:A4", " C3 - A4 "] {
            assert_eq!(text.parse(), Ok(Range::default()), "{text}");
        }
        let low = "C-1-C2".parse::<Range>().map(|r| r.low().midi());
        assert_eq!(low, Ok(0));
        assert_eq!(Range::default().to_string(), "C3-A4");
    }

    #[test]
    fn what_is_no_range_is_said() {
        assert!(matches!(
            "A4-C3".parse::<Range>(),
            Err(NotARange::UpsideDown(..))
        ));
        for text in ["", "C3", "-", "C3-", "200-201", "C3-H4"] {
            assert!(
                matches!(text.parse::<Range>(), Err(NotARange::Unreadable(_))),
                "{text}"
            );
        }
    }

    #[test]
    fn both_ends_belong_to_it() {
        let range = Range::default();
        let held = |midi| range.holds(Pitch::new(midi).unwrap());
        assert!(held(48) && held(69) && !held(47) && !held(70));
    }
}
