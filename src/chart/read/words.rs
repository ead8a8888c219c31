//! The words of a bar: most symbols are one, but `C7(omit 3)`, `C minor` and `no chord` are several.

use super::text::Text;

/// The most words that are taken into a symbol at a time: `maj 7` into `C add maj 7`.
const MOST_MORE: usize = 3;

/// How often joining words may fail in one bar before it is no longer tried: a bar has fewer chords,
/// and a line of a million bad words must not cost several readings each.
const MOST_FAILURES: usize = 64;

/// How far the end of a bracket is looked for: no symbol is longer.
const LONGEST: usize = 100;

/// The words of a bar, those of one symbol together.
#[derive(Debug)]
pub(super) struct Words<'a> {
    rest: Text<'a>,
    failures: usize,
}

impl<'a> Words<'a> {
    pub fn new(body: Text<'a>) -> Self {
        Self {
            rest: body.trim(),
            failures: 0,
        }
    }

    /// The next word; `reads` says whether a text is a chord symbol.
    ///
    /// A word that is no symbol by itself belongs to the one before it where the two together are
    /// one. An open bracket takes the words up to its end.
    pub fn next(&mut self, mut reads: impl FnMut(Text<'a>) -> bool) -> Option<Text<'a>> {
        let start = self.rest;
        let (mut word, after) = first(start)?;
        self.rest = after;
        if !is_sign(word) {
            while let Some((longer, after)) = self.longer(start, &mut reads) {
                word = longer;
                self.rest = after;
            }
        }
        Some(word)
    }

    /// The text from `start` with the fewest further words that make a symbol of it, and what
    /// follows them.
    fn longer(
        &mut self,
        start: Text<'a>,
        reads: &mut impl FnMut(Text<'a>) -> bool,
    ) -> Option<(Text<'a>, Text<'a>)> {
        let mut rest = self.rest;
        for more in 0..MOST_MORE {
            let (word, after) = first(rest)?;
            let ends = is_sign(word) || more == 0 && reads(word);
            if ends || self.failures >= MOST_FAILURES {
                return None;
            }
            let (joined, _) = start.split_at(word.range().end - start.at);
            if reads(joined) {
                return Some((joined, after));
            }
            rest = after;
        }
        self.failures += 1;
        None
    }
}

/// The first word with those in its open bracket, and what follows.
fn first(text: Text<'_>) -> Option<(Text<'_>, Text<'_>)> {
    let (word, after) = text.first_word()?;
    if !word.text.contains('(') {
        return Some((word, after));
    }
    match end_in_brackets(text.text).filter(|&end| end > word.text.len()) {
        Some(end) => {
            let (word, after) = text.split_at(end);
            Some((word, after.trim()))
        }
        None => Some((word, after)),
    }
}

/// Where the first word ends if blanks in brackets belong to it; `None` where a bracket stays open.
fn end_in_brackets(text: &str) -> Option<usize> {
    let mut open = 0u8;
    for (at, c) in text.char_indices().take_while(|&(at, _)| at <= LONGEST) {
        match c {
            '(' => open = open.checked_add(1)?,
            ')' => open = open.saturating_sub(1),
            c if c.is_whitespace() && open == 0 => return Some(at),
            _ => {}
        }
    }
    (open == 0 && text.len() <= LONGEST).then_some(text.len())
}

/// Whether a word is a sign of the chart language rather than part of a symbol.
fn is_sign(word: Text<'_>) -> bool {
    let text = word.text;
    text.starts_with(['@', '%']) || text.bytes().all(|b| b == b'/') || is_meter(text)
}

/// `3/4`, or what was meant to be one: digits around a slash.
pub(super) fn is_meter(word: &str) -> bool {
    let digits = |t: &str| t.bytes().all(|b| b.is_ascii_digit());
    let halves = word.split_once('/');
    halves.is_some_and(|(a, b)| !a.is_empty() && digits(a) && digits(b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chord::Symbol;

    fn words(text: &str) -> String {
        let mut words = Words::new(Text::new(text, 0));
        let next = || words.next(|word| Symbol::read(word.text).is_ok());
        let all: Vec<&str> = std::iter::from_fn(next).map(|word| word.text).collect();
        all.join("|")
    }

    #[test]
    fn the_words_of_one_symbol_stay_together() {
        for (text, read) in [
            ("C7(omit 3) Dm", "C7(omit 3)|Dm"),
            ("C7(#9, 13)/E / F", "C7(#9, 13)/E|/|F"),
            (" A MINOR  B m7 b5 C", "A MINOR|B m7 b5|C"),
            ("C add maj 7 no chord G", "C add maj 7|no chord|G"),
            ("C half diminished D 7", "C half diminished|D 7"),
            ("Cadd 9 F", "Cadd 9|F"),
            ("Dm (b9) (Em)", "Dm (b9)|(Em)"),
        ] {
            assert_eq!(words(text), read, "{text}");
        }
    }

    #[test]
    fn what_makes_no_symbol_stays_apart() {
        for text in [
            "C d E/f+ g",
            "C7(b9 Dm",
            "C xyz Dm",
            "C / (G7)",
            "% x",
            "3/4 C @fine 7",
            "C : 7",
            "N.C. C",
        ] {
            assert_eq!(words(text), text.replace(' ', "|"), "{text}");
        }
    }

    #[test]
    fn many_bad_words_are_read_few_times_each() {
        let bad = "x ".repeat(10_000);
        let mut words = Words::new(Text::new(&bad, 0));
        let mut readings = 0;
        while words
            .next(|_| {
                readings += 1;
                false
            })
            .is_some()
        {}
        assert!(readings < 11_000, "{readings}");
    }
}
