//! The value of `--changes`: a number, or `exactly` and a number.

use std::ffi::OsString;
use std::str::FromStr;

/// How many changes are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Count {
    /// The number.
    pub most: usize,
    /// Whether it has to be so many.
    pub exactly: bool,
}

impl FromStr for Count {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let number = text.strip_prefix("exactly").map(str::trim_start);
        let most = number.unwrap_or(text).parse();
        let most =
            most.map_err(|_| "a number was expected, such as 3 or `exactly 3`".to_owned())?;
        Ok(Self {
            most,
            exactly: number.is_some(),
        })
    }
}

/// The arguments with `--changes exactly 3` joined into one value, since it is typed as two words.
pub fn joined(words: impl Iterator<Item = OsString>) -> Vec<OsString> {
    let mut joined: Vec<OsString> = Vec::new();
    let mut words = words.peekable();
    while let Some(mut word) = words.next() {
        let of_changes = joined.last().is_some_and(|last| last == "--changes");
        if of_changes && word == "exactly" || word == "--changes=exactly" {
            word.push(" ");
            word.extend(words.next());
        }
        joined.push(word);
    }
    joined
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_may_have_exactly_before_it() {
        let count = |text: &str| text.parse::<Count>().map(|c| (c.most, c.exactly));
        assert_eq!(count("3"), Ok((3, false)));
        assert_eq!(count("exactly 3"), Ok((3, true)));
        assert!(count("exactly").is_err() && count("-1").is_err() && count("").is_err());
    }

    #[test]
    fn the_two_words_become_one_value() {
        let joined = |text: &str| {
            let words = joined(text.split(' ').map(OsString::from));
            words
                .iter()
                .map(|w| w.to_string_lossy().into_owned())
                .collect::<Vec<_>>()
        };
        assert_eq!(
            joined("a --changes exactly 3 b"),
            ["a", "--changes", "exactly 3", "b"]
        );
        assert_eq!(joined("--changes=exactly 3"), ["--changes=exactly 3"]);
        assert_eq!(joined("--changes 3 exactly"), ["--changes", "3", "exactly"]);
    }
}
