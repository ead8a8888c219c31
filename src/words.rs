//! Numbers and lists in English: `1 voicing`, `2 voicings`; `a, b and c`.

use std::fmt::Display;

/// A number with what it counts.
///
/// ```
/// use compline::words::counted;
///
/// assert_eq!(counted(1, "voicing"), "1 voicing");
/// assert_eq!(counted(2, "voicing"), "2 voicings");
/// assert_eq!(counted(2, "entry"), "2 entries");
/// ```
pub fn counted<N: Copy + Display + PartialEq + From<u8>>(number: N, what: &str) -> String {
    format!("{number} {}", noun(number, what))
}

/// What so many of a thing are called: with an s, or `ies` for a `y` at the end, unless it is one.
///
/// ```
/// assert_eq!(compline::words::noun(0, "chart"), "charts");
/// ```
pub fn noun<N: PartialEq + From<u8>>(number: N, what: &str) -> String {
    match what.strip_suffix('y') {
        _ if number == N::from(1) => what.to_owned(),
        Some(stem) => format!("{stem}ies"),
        None => format!("{what}s"),
    }
}

/// Words in a row, the last after `and`, `or` or another word.
///
/// ```
/// use compline::words::listed;
///
/// assert_eq!(listed(&["a"], "and"), "a");
/// assert_eq!(listed(&["a", "b", "c"], "or"), "a, b or c");
/// ```
pub fn listed<S: AsRef<str>>(words: &[S], last: &str) -> String {
    let join = |words: &[S]| {
        words
            .iter()
            .map(AsRef::as_ref)
            .collect::<Vec<_>>()
            .join(", ")
    };
    match words {
        [first @ .., end] if !first.is_empty() => {
            format!("{} {last} {}", join(first), end.as_ref())
        }
        few => join(few),
    }
}
