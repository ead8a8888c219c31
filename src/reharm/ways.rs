//! Which techniques may be used.

use std::fmt;
use std::str::FromStr;

use crate::chart::nearest;
use crate::reharm::techniques::{TECHNIQUES, Technique};

/// The techniques that are allowed; at least one.
///
/// ```
/// # use compline::reharm::Ways;
/// let ways: Ways = "all,-tritone".parse().unwrap();
/// assert!(!ways.names().any(|name| name == "tritone"));
/// assert_eq!("backdoor,related-ii".parse::<Ways>().unwrap().names().count(), 2);
/// let wrong = "tritones".parse::<Ways>().unwrap_err();
/// assert_eq!(wrong.to_string(), "`tritones` is not a technique; did you mean `tritone`?");
/// ```
#[derive(Debug, Clone)]
pub struct Ways(Vec<&'static Technique>);

impl Ways {
    /// The techniques, in the order they are listed.
    pub fn techniques(&self) -> impl Iterator<Item = &'static Technique> + '_ {
        self.0.iter().copied()
    }

    /// Their names.
    pub fn names(&self) -> impl Iterator<Item = &'static str> + '_ {
        self.techniques().map(|technique| technique.name)
    }
}

impl Default for Ways {
    fn default() -> Self {
        Self(TECHNIQUES.to_vec())
    }
}

/// Why a list names no techniques.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotWays {
    /// A word is none.
    Unknown(String),
    /// All that are named are taken out again.
    NothingLeft,
}

impl fmt::Display for NotWays {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NothingLeft => f.write_str("this leaves no technique"),
            Self::Unknown(word) => {
                write!(f, "`{word}` is not a technique; ")?;
                match meant(word) {
                    Some(name) => write!(f, "did you mean `{name}`?"),
                    None => {
                        let known = TECHNIQUES.map(|technique| technique.name).join(", ");
                        write!(f, "there are: {known}, and `all` for every one")
                    }
                }
            }
        }
    }
}

impl std::error::Error for NotWays {}

impl FromStr for Ways {
    type Err = NotWays;

    /// Names joined by commas; `all` stands for every one, and a `-` before a name takes it out. A
    /// list that begins by taking out takes out of all.
    fn from_str(text: &str) -> Result<Self, NotWays> {
        let mut allowed = [text.starts_with('-'); TECHNIQUES.len()];
        for word in text.split(',').map(str::trim) {
            let (name, to) = match word.strip_prefix('-') {
                Some(name) => (name, false),
                None => (word, true),
            };
            let mut known = false;
            for (allowed, technique) in allowed.iter_mut().zip(TECHNIQUES) {
                if name == "all" || technique.name == name {
                    (*allowed, known) = (to, true);
                }
            }
            if !known {
                return Err(NotWays::Unknown(name.to_owned()));
            }
        }
        let chosen = TECHNIQUES.iter().zip(allowed);
        let chosen = chosen.filter(|(_, allowed)| *allowed);
        let chosen: Vec<_> = chosen.map(|(technique, _)| *technique).collect();
        match chosen.is_empty() {
            true => Err(NotWays::NothingLeft),
            false => Ok(Self(chosen)),
        }
    }
}

/// The technique that a word begins (`passing` for `passing-diminished`), or else that it misspells.
fn meant(word: &str) -> Option<&'static str> {
    let names = || TECHNIQUES.iter().map(|technique| technique.name);
    let begun = names().filter(|name| word.len() > 2 && name.starts_with(word));
    begun.min().or_else(|| nearest(word, names()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wrong(text: &str) -> String {
        text.parse::<Ways>().unwrap_err().to_string()
    }

    #[test]
    fn a_near_miss_is_guessed_and_anything_else_answered_with_the_list() {
        assert!(wrong("tritone,-backdor").ends_with("did you mean `backdoor`?"));
        assert!(wrong("passing").ends_with("did you mean `passing-diminished`?"));
        assert!(wrong("Tritone").ends_with("did you mean `tritone`?"));
        assert!(wrong("xyz").contains("there are: tritone, related-ii, "));
        assert!(wrong("tritone,").starts_with("`` is not a technique"));
    }

    #[test]
    fn a_list_that_takes_everything_out_is_refused() {
        assert_eq!(wrong("tritone,-tritone"), "this leaves no technique");
        assert_eq!(wrong("-all"), "this leaves no technique");
        assert!("-all,tritone".parse::<Ways>().is_ok());
    }
}
