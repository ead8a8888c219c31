//! One surcharge set by its name: `plain=4`, `floor=Eb3`.

use std::fmt;
use std::str::FromStr;

use super::SurchargeWeights;
use crate::hand::key;
use crate::pitch::{Note, Pitch};

/// One row of the table of surcharges with the number it is to have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SetSurcharge {
    /// Times the square of the semitones below the floor, or more than 8 above it.
    Register(u32),
    /// The floor.
    Floor(Pitch),
    /// For every usual tension left out.
    Plain(u32),
    /// For every hand note in the melody's way.
    Melody(u32),
}

impl SetSurcharge {
    /// The names, in the order they are shown.
    pub const NAMES: [&'static str; 4] = ["register", "floor", "plain", "melody"];

    /// The most that one may be: far more than any move is worth.
    pub const MOST: u32 = 1000;

    /// The surcharge of this name with this value.
    ///
    /// # Errors
    ///
    /// A name that is none, a number that is not from 0 to [`Self::MOST`], a floor that is no note.
    pub fn new(name: &str, value: &str) -> Result<Self, NotASurcharge> {
        let number = || {
            let number = value.parse().ok().filter(|number| *number <= Self::MOST);
            number.ok_or_else(|| NotASurcharge::Value(value.to_owned()))
        };
        match name {
            "register" => number().map(Self::Register),
            "plain" => number().map(Self::Plain),
            "melody" => number().map(Self::Melody),
            "floor" => {
                let floor = key(value).ok_or_else(|| NotASurcharge::Floor(value.to_owned()))?;
                Ok(Self::Floor(floor))
            }
            _ => Err(NotASurcharge::Name(name.to_owned())),
        }
    }

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Register(_) => "register",
            Self::Floor(_) => "floor",
            Self::Plain(_) => "plain",
            Self::Melody(_) => "melody",
        }
    }

    /// The table with this row set.
    #[must_use]
    pub const fn in_table(self, weights: SurchargeWeights) -> SurchargeWeights {
        let mut weights = weights;
        match self {
            Self::Register(register) => weights.register = register,
            Self::Floor(floor) => weights.floor = floor,
            Self::Plain(plain) => weights.plain = plain,
            Self::Melody(melody) => weights.melody = melody,
        }
        weights
    }
}

impl fmt::Display for SetSurcharge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Floor(floor) => write!(f, "floor={}", Note::usual(*floor)),
            Self::Register(number) | Self::Plain(number) | Self::Melody(number) => {
                write!(f, "{}={number}", self.name())
            }
        }
    }
}

/// Why a text sets no surcharge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotASurcharge {
    /// There is no `=` in it.
    Shape(String),
    /// A name that is none.
    Name(String),
    /// Not a whole number from 0 to [`SetSurcharge::MOST`].
    Value(String),
    /// Not a note.
    Floor(String),
}

impl fmt::Display for NotASurcharge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Shape(text) => write!(f, "`{text}` is not a name and a number, such as plain=4"),
            Self::Name(name) => {
                let known = SetSurcharge::NAMES.join(", ");
                write!(f, "there is no surcharge `{name}`: {known}")
            }
            Self::Value(value) => {
                let most = SetSurcharge::MOST;
                write!(f, "`{value}` is not a whole number from 0 to {most}")
            }
            Self::Floor(value) => write!(f, "`{value}` is not a note such as Eb3"),
        }
    }
}

impl std::error::Error for NotASurcharge {}

/// Reads `NAME=N`.
///
/// ```
/// use compline::voicing::{SetSurcharge, SurchargeWeights};
///
/// let set: SetSurcharge = "plain=0".parse().unwrap();
/// assert_eq!(set.in_table(SurchargeWeights::default()).plain, 0);
/// assert!("lore=3".parse::<SetSurcharge>().is_err());
/// ```
impl FromStr for SetSurcharge {
    type Err = NotASurcharge;

    fn from_str(text: &str) -> Result<Self, NotASurcharge> {
        let (name, value) = text
            .split_once('=')
            .ok_or_else(|| NotASurcharge::Shape(text.to_owned()))?;
        Self::new(name.trim(), value.trim())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_set_by_its_name_and_told_as_it_is_typed() {
        for typed in ["register=2", "floor=Eb3", "plain=0", "melody=1000"] {
            let set: SetSurcharge = typed.parse().unwrap();
            assert_eq!(set.to_string(), typed);
            assert!(typed.starts_with(set.name()));
        }
        let floor: SetSurcharge = "floor=48".parse().unwrap();
        assert_eq!(floor.in_table(SurchargeWeights::default()).floor.midi(), 48);
    }

    #[test]
    fn what_is_wrong_is_said() {
        for (typed, said) in [
            (
                "plain",
                "`plain` is not a name and a number, such as plain=4",
            ),
            (
                "colour=3",
                "there is no surcharge `colour`: register, floor, plain, melody",
            ),
            ("plain=-1", "`-1` is not a whole number from 0 to 1000"),
            ("melody=1001", "`1001` is not a whole number from 0 to 1000"),
            ("floor=H2", "`H2` is not a note such as Eb3"),
        ] {
            let error = typed.parse::<SetSurcharge>().unwrap_err();
            assert_eq!(error.to_string(), said);
        }
    }
}
