//! Keys: tonic, mode, further accidentals; and what they do to a letter.

use std::collections::BTreeMap;

use super::accidental::alteration;
use crate::formats::song::{key_of_tonic, signature_of};
use crate::pitch::{Key, Letter, Name};

/// A key as `K:` gives it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct AbcKey {
    /// The key of a chart; `None` where there is none.
    pub key: Option<Key>,
    /// Whether that is all it says: another mode is read as major or minor.
    pub plain: bool,
    /// The letters that are altered.
    pub alters: BTreeMap<Letter, i8>,
}

/// The key behind `K:`: a letter with an accidental, a mode told by its first three letters, then
/// accidentals such as `^f` or `=c`. Whatever else stands there (clefs, transpositions) is not for us.
pub(super) fn signature(text: &str) -> AbcKey {
    let text = text.trim();
    let mut signature = AbcKey {
        plain: true,
        ..AbcKey::default()
    };
    if text.starts_with("HP") || text.starts_with("Hp") {
        // The bagpipe's scale: two sharps, which one of the two spellings leaves unsaid.
        signature.set(2);
        return signature;
    }
    let Some((tonic, rest)) = tonic(text) else {
        return signature;
    };
    let (mode, rest) = mode(rest);
    if let Some((key, plain)) = key_of_tonic(tonic, &mode) {
        (signature.key, signature.plain) = (Some(key), plain);
    }
    if !rest.trim_start().starts_with("exp") {
        signature.set(signature_of(tonic, &mode).unwrap_or(0));
    }
    let altered = rest.split_whitespace().filter_map(altered);
    signature.alters.extend(altered);
    signature
}

/// A letter with its accidental, `^f`.
fn altered(word: &str) -> Option<(Letter, i8)> {
    let sign = word.trim_end_matches(|c: char| c.is_alphabetic());
    let alter = alteration(sign)?;
    let letters = word.get(sign.len()..)?.to_ascii_uppercase();
    let letter = letters.chars().next().and_then(Letter::from_char)?;
    Some((letter, alter))
}

fn tonic(text: &str) -> Option<(Name, &str)> {
    let letter = Letter::from_char(text.chars().next()?)?;
    let rest = text.get(1..)?;
    let (alter, rest) = match rest.chars().next() {
        Some('#' | '♯') => (1, rest.strip_prefix(['#', '♯'])?),
        Some('b' | '♭') => (-1, rest.strip_prefix(['b', '♭'])?),
        _ => (0, rest),
    };
    Some((Name::new(letter, alter)?, rest))
}

/// The mode, if the next word is one.
fn mode(text: &str) -> (String, &str) {
    let text = text.trim_start();
    let end = text
        .find(|c: char| !c.is_ascii_alphabetic())
        .unwrap_or(text.len());
    let (word, rest) = text.split_at(end);
    let lower = word.to_ascii_lowercase();
    let head: String = lower.chars().take(3).collect();
    const MODES: [&str; 9] = [
        "maj", "min", "ion", "dor", "phr", "lyd", "mix", "aeo", "loc",
    ];
    if lower == "m" || MODES.contains(&head.as_str()) {
        (lower, rest)
    } else {
        (String::new(), text)
    }
}

impl AbcKey {
    /// Sharps in the order they are written, or flats.
    fn set(&mut self, fifths: i32) {
        use Letter::{A, B, C, D, E, F, G};
        let sharps = [F, C, G, D, A, E, B];
        let count = usize::try_from(fifths.unsigned_abs()).unwrap_or(0).min(7);
        if fifths > 0 {
            self.alters
                .extend(sharps.into_iter().take(count).map(|letter| (letter, 1)));
        } else {
            self.alters.extend(
                sharps
                    .into_iter()
                    .rev()
                    .take(count)
                    .map(|letter| (letter, -1)),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str) -> (String, String) {
        let signature = signature(text);
        let key = signature.key.map(|key| key.to_string()).unwrap_or_default();
        let alters = signature
            .alters
            .iter()
            .map(|(letter, alter)| format!("{}{alter}", letter.to_char()));
        (key, alters.collect::<Vec<_>>().join(" "))
    }

    #[test]
    fn keys_are_read_with_their_modes() {
        for (text, key, alters) in [
            ("D", "D", "C1 F1"),
            ("Am", "Am", ""),
            ("A minor", "Am", ""),
            ("Ddor", "Dm", ""),
            ("G mixolydian", "G", ""),
            ("Bb", "Bb", "E-1 B-1"),
            ("D =c", "D", "C0 F1"),
            ("D exp ^c", "D", "C1"),
            ("G clef=treble", "G", "F1"),
            ("none", "", ""),
            ("HP", "", "C1 F1"),
        ] {
            assert_eq!(shown(text), (key.to_owned(), alters.to_owned()), "{text}");
        }
    }
}
