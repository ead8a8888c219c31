//! One weight of a choice of changes set by its name: `strain=3`.

use std::fmt;
use std::str::FromStr;

use super::ChangeWeights;

/// One row of the table of weights with the number it is to have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SetChangeWeight {
    /// For each point of strain.
    Strain(u32),
    /// For each link more that leads on.
    LeadsOn(u32),
    /// How many changes of one technique.
    OfAKind(u32),
}

impl SetChangeWeight {
    /// The names, in the order they are shown.
    pub const NAMES: [&'static str; 3] = ["strain", "leads-on", "of-a-kind"];

    /// The most that one may be: far more than any move is worth.
    pub const MOST: u32 = 1000;

    /// The weight of this name with this value.
    ///
    /// # Errors
    ///
    /// A name that is none, a number that is not from 0 to [`Self::MOST`].
    pub fn new(name: &str, value: &str) -> Result<Self, NotAChangeWeight> {
        let row = match name {
            "strain" => Self::Strain,
            "leads-on" => Self::LeadsOn,
            "of-a-kind" => Self::OfAKind,
            _ => return Err(NotAChangeWeight::Name(name.to_owned())),
        };
        let number = value.parse().ok().filter(|number| *number <= Self::MOST);
        number
            .map(row)
            .ok_or_else(|| NotAChangeWeight::Value(value.to_owned()))
    }

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Strain(_) => "strain",
            Self::LeadsOn(_) => "leads-on",
            Self::OfAKind(_) => "of-a-kind",
        }
    }

    /// The table with this row set.
    #[must_use]
    pub const fn in_table(self, weights: ChangeWeights) -> ChangeWeights {
        let mut weights = weights;
        match self {
            Self::Strain(number) => weights.strain = number,
            Self::LeadsOn(number) => weights.leads_on = number,
            Self::OfAKind(number) => weights.of_a_kind = number,
        }
        weights
    }
}

impl fmt::Display for SetChangeWeight {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (Self::Strain(number) | Self::LeadsOn(number) | Self::OfAKind(number)) = self;
        write!(f, "{}={number}", self.name())
    }
}

/// Why a text sets no weight.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotAChangeWeight {
    /// There is no `=` in it.
    Shape(String),
    /// A name that is none.
    Name(String),
    /// Not a whole number from 0 to [`SetChangeWeight::MOST`].
    Value(String),
}

impl fmt::Display for NotAChangeWeight {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Shape(text) => {
                write!(f, "`{text}` is not a name and a number, such as strain=3")
            }
            Self::Name(name) => {
                let known = SetChangeWeight::NAMES.join(", ");
                write!(f, "there is no weight `{name}`: {known}")
            }
            Self::Value(value) => {
                let most = SetChangeWeight::MOST;
                write!(f, "`{value}` is not a whole number from 0 to {most}")
            }
        }
    }
}

impl std::error::Error for NotAChangeWeight {}

/// Reads `NAME=N`.
///
/// ```
/// use compline::reharm::{ChangeWeights, SetChangeWeight};
///
/// let set: SetChangeWeight = "strain=0".parse().unwrap();
/// assert_eq!(set.in_table(ChangeWeights::default()).strain, 0);
/// assert!("strength=3".parse::<SetChangeWeight>().is_err());
/// ```
impl FromStr for SetChangeWeight {
    type Err = NotAChangeWeight;

    fn from_str(text: &str) -> Result<Self, NotAChangeWeight> {
        let (name, value) = text
            .split_once('=')
            .ok_or_else(|| NotAChangeWeight::Shape(text.to_owned()))?;
        Self::new(name.trim(), value.trim())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_set_by_its_name_and_told_as_it_is_typed() {
        for typed in ["strain=2", "leads-on=0", "of-a-kind=1000"] {
            let set: SetChangeWeight = typed.parse().unwrap();
            assert_eq!(set.to_string(), typed);
            assert!(typed.starts_with(set.name()));
            assert_ne!(
                set.in_table(ChangeWeights::default()),
                ChangeWeights::default()
            );
        }
    }

    #[test]
    fn what_is_wrong_is_said() {
        for (typed, said) in [
            (
                "strain",
                "`strain` is not a name and a number, such as strain=3",
            ),
            (
                "price=3",
                "there is no weight `price`: strain, leads-on, of-a-kind",
            ),
            ("strain=-1", "`-1` is not a whole number from 0 to 1000"),
        ] {
            let wrong = typed.parse::<SetChangeWeight>().unwrap_err();
            assert_eq!(wrong.to_string(), said);
        }
    }
}
