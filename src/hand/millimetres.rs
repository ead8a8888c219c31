//! Lengths as somebody measures them on a hand: `200mm`, `20cm`, `7.9in`.

use std::fmt;
use std::str::FromStr;

/// A length in whole millimetres.
///
/// Fractions are dropped, so that no hand is taken for larger than it was measured.
///
/// ```
/// # use compline::hand::Millimetres;
/// assert_eq!("20 cm".parse(), Ok(Millimetres(200)));
/// assert_eq!("7.9in".parse(), Ok(Millimetres(200))); // 200.66 mm
/// assert_eq!(Millimetres(200).to_string(), "200 mm");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Millimetres(pub u16);

impl fmt::Display for Millimetres {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.0)
    }
}

/// Why a text is no length.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotALength {
    /// A number without a unit.
    NoUnit(String),
    /// Anything else.
    Unreadable(String),
}

impl fmt::Display for NotALength {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoUnit(text) => write!(f, "`{text}` has no unit: write mm, cm or in after it"),
            Self::Unreadable(text) => {
                write!(f, "`{text}` is not a length such as 200mm, 20cm or 7.9in")
            }
        }
    }
}

impl std::error::Error for NotALength {}

/// The units, with how many tenths of a millimetre each is.
const UNITS: [(&str, u64); 3] = [("mm", 10), ("cm", 100), ("in", 254)];

impl FromStr for Millimetres {
    type Err = NotALength;

    fn from_str(text: &str) -> Result<Self, NotALength> {
        let lower = text.trim().to_ascii_lowercase();
        let cut = |(unit, tenths): &(&str, u64)| Some((lower.strip_suffix(unit)?.trim(), *tenths));
        let Some((number, tenths)) = UNITS.iter().find_map(cut) else {
            return Err(match decimal(&lower) {
                Some(_) => NotALength::NoUnit(text.to_owned()),
                None => NotALength::Unreadable(text.to_owned()),
            });
        };
        decimal(number)
            .and_then(|(digits, one)| u16::try_from(digits * tenths / (10 * one)).ok())
            .map(Self)
            .ok_or_else(|| NotALength::Unreadable(text.to_owned()))
    }
}

/// A decimal number as its digits and the power of ten that one is worth: 7.9 is 79 of 10.
fn decimal(text: &str) -> Option<(u64, u64)> {
    let (whole, fraction) = text.split_once('.').unwrap_or((text, ""));
    let digits = format!("{whole}{fraction}");
    let plain = digits.bytes().all(|b| b.is_ascii_digit());
    // Nine digits keep the arithmetic far from overflowing.
    (plain && !whole.is_empty() && digits.len() <= 9).then_some(())?;
    let one = 10u64.pow(u32::try_from(fraction.len()).ok()?);
    Some((digits.parse().ok()?, one))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_units_are_read_and_fractions_dropped() {
        let read = |text: &str| text.parse::<Millimetres>().map(|mm| mm.0);
        for (text, mm) in [
            ("200mm", 200),
            (" 200 MM ", 200),
            ("199.9mm", 199),
            ("20.15cm", 201),
            ("8.5in", 215),
            ("8in", 203),
            ("0mm", 0),
        ] {
            assert_eq!(read(text), Ok(mm), "{text}");
        }
    }

    #[test]
    fn what_is_no_length_is_said() {
        let no_unit = |text: &str| {
            let unread = text.parse::<Millimetres>().unwrap_err();
            matches!(unread, NotALength::NoUnit(_))
        };
        assert!(no_unit("200") && no_unit("7.9"));
        for text in [
            "",
            "mm",
            "-3cm",
            "1e2mm",
            "2m",
            "7,9in",
            ".5in",
            "9999999999mm",
            "70000mm",
            "1.2.3in",
        ] {
            let unread = text.parse::<Millimetres>();
            assert!(matches!(unread, Err(NotALength::Unreadable(_))), "{text}");
        }
    }
}
