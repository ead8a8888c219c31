//! What a misspelled name may have been meant for, as a message says it.

use compline::chart::nearest;

/// What a word may have been meant for, or else what was expected.
pub fn meant<'a>(word: &str, names: impl Iterator<Item = &'a str>, what: &str) -> String {
    match nearest(word, names) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("a {what}"),
    }
}
