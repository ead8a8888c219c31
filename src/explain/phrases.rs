//! Phrases that many sentences share: bars, degrees, and lists of words.

use crate::pitch::Degree;

/// `in bar 3`, `in bars 3-6, 9`.
pub(crate) fn in_bars(bars: &[usize]) -> String {
    format!("in {}", bars_in_words(bars))
}

/// `bar 3`, `bars 3-6, 9`.
pub(crate) fn bars_in_words(bars: &[usize]) -> String {
    let plural = if bars.len() == 1 { "" } else { "s" };
    format!("bar{plural} {}", runs(bars))
}

/// Rising numbers, those in a row as `3-6`.
fn runs(numbers: &[usize]) -> String {
    let runs = numbers.chunk_by(|a, b| a + 1 == *b);
    let texts: Vec<String> = runs
        .flat_map(|run| match run {
            [first, _, .., last] => vec![format!("{first}-{last}")],
            few => few.iter().map(usize::to_string).collect(),
        })
        .collect();
    texts.join(", ")
}

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn listed(words: &[String], last: &str) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [rest @ .., end] => format!("{} {last} {end}", rest.join(", ")),
    }
}

/// `bar 2`, or `bars 2-3`.
pub fn bars((first, last): (usize, usize)) -> String {
    match (first, last) {
        (first, last) if first == last => format!("bar {first}"),
        (first, last) => format!("bars {first}-{last}"),
    }
}

/// A degree with its article: `a b9`, `an 11`.
pub(super) fn a_degree(degree: Degree) -> String {
    let vowel = degree.number() == 11 && degree.alter() == 0;
    format!("{} {degree}", if vowel { "an" } else { "a" })
}
