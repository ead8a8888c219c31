//! What stands in quotes above the staff: a chord, or a remark.

use crate::chord::Symbol;

/// What quoted text is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Quoted {
    /// A chord symbol as a chart writes it.
    Chord(String),
    /// Text to be printed, not played.
    Remark(String),
    /// It stands where a chord would, and can't be read as one.
    Unread(String),
}

/// Reads quoted text. Annotations say by their first sign where they are printed; anything else is a
/// chord. A chord in brackets is an alternative and only printed.
pub(super) fn quoted(text: &str) -> Quoted {
    let trimmed = text.trim();
    if let Some(remark) = trimmed.strip_prefix(['^', '_', '<', '>', '@']) {
        return Quoted::Remark(remark.trim().to_owned());
    }
    let main = without_alternative(trimmed);
    match readings(main)
        .into_iter()
        .find(|chord| Symbol::read(chord).is_ok())
    {
        Some(chord) => Quoted::Chord(chord),
        None => Quoted::Unread(trimmed.to_owned()),
    }
}

/// `G(Em)` without what is in brackets, where that is a chord of its own.
fn without_alternative(text: &str) -> &str {
    let Some((main, bracket)) = text.split_once('(') else {
        return text;
    };
    let chord = bracket.starts_with(|c: char| ('A'..='G').contains(&c));
    if chord && !main.is_empty() {
        main.trim_end()
    } else {
        text
    }
}

/// What a chord may be meant as, the most likely first: as it is written, and as old books write it.
fn readings(text: &str) -> Vec<String> {
    let (body, bass) = match text.rsplit_once('/').map(|(body, bass)| (body, note(bass))) {
        Some((body, Some(bass))) => (body, format!("/{bass}")),
        _ => (text, String::new()),
    };
    // Diminished as `Cd`, augmented as `Ca`.
    let mut readings: Vec<String> = [("d", "dim"), ("a", "+")]
        .into_iter()
        .filter_map(|(old, new)| Some(format!("{}{new}{bass}", body.strip_suffix(old)?)))
        .collect();
    readings.extend([format!("{body}{bass}"), text.to_owned()]);
    let mut letters = body.chars();
    if let Some(first @ 'a'..='g') = letters.next() {
        readings.push(format!(
            "{}{}{bass}",
            first.to_ascii_uppercase(),
            letters.as_str()
        ));
    }
    readings
}

/// A bass note in either case, with an accidental and with octave signs that mean nothing here.
fn note(text: &str) -> Option<String> {
    let text = text.trim().trim_end_matches(['+', '-', ',', '\'']);
    let mut letters = text.chars();
    let letter = letters
        .next()
        .filter(|c| matches!(c, 'A'..='G' | 'a'..='g'))?;
    let accidental = letters.as_str();
    let plain = matches!(accidental, "" | "#" | "b" | "♯" | "♭");
    plain.then(|| format!("{}{accidental}", letter.to_ascii_uppercase()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chords_are_told_from_remarks() {
        let chord = |text: &str| Quoted::Chord(text.to_owned());
        for (text, expected) in [
            ("Am7", chord("Am7")),
            ("D/f+", chord("D/F")),
            ("D/f#", chord("D/F#")),
            ("G(Em)", chord("G")),
            ("C7(b9)", chord("C7(b9)")),
            ("Cd", chord("Cdim")),
            ("Ca", chord("C+")),
            ("Bb6/9", chord("Bb6/9")),
            ("em", chord("Em")),
            ("^slow", Quoted::Remark("slow".to_owned())),
            ("Fine", Quoted::Unread("Fine".to_owned())),
        ] {
            assert_eq!(quoted(text), expected, "{text}");
        }
    }
}
