//! Phrases that many sentences share: bars and degrees.

use crate::pitch::Degree;
use crate::words::noun;

/// `in bar 3`, `in bars 3-6, 9`.
pub(crate) fn in_bars(bars: &[usize]) -> String {
    format!("in {}", bars_in_words(bars))
}

/// `bar 3`, `bars 3-6, 9`.
pub(crate) fn bars_in_words(bars: &[usize]) -> String {
    format!("{} {}", noun(bars.len(), "bar"), runs(bars))
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
