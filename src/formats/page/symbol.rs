//! Chord symbols as they are printed: the root large, what follows smaller and raised, accidentals as signs.
//!
//! What is printed is what the chart says; only its size and height are ours.

use super::drawing::Length;
use super::font::Face;
use super::pen::PagePen;

/// The size of the root's letter.
pub(super) const ROOT_SIZE: Length = 2900;

/// One run of letters of a printed symbol.
#[derive(Clone, Debug, PartialEq, Eq)]
struct LetterRun {
    text: String,
    size: Length,
    /// How far above the baseline it stands.
    rise: Length,
}

/// Draws a symbol that begins at `x`; gives the place behind it.
pub(super) fn draw(pen: &mut PagePen, symbol: &str, x: Length, y: Length) -> Length {
    runs(symbol).iter().fold(x, |x, run| {
        pen.text(&run.text, Face::Bold, run.size, x, y - run.rise)
    })
}

/// How wide a symbol is.
pub(super) fn width(symbol: &str) -> Length {
    runs(symbol)
        .iter()
        .map(|run| Face::Bold.font().width(&run.text, run.size))
        .sum()
}

/// Root, quality on the line, the rest raised, a bass on the line again.
fn runs(symbol: &str) -> Vec<LetterRun> {
    let Some((root, rest)) = root(symbol) else {
        return vec![LetterRun {
            text: symbol.to_owned(),
            size: ROOT_SIZE * 8 / 10,
            rise: 0,
        }];
    };
    let (body, bass) = bass(rest);
    let (quality, raised) = body.split_at(quality(body));
    let mut runs = name(root, ROOT_SIZE, 0);
    runs.extend(signed(quality, ROOT_SIZE * 72 / 100, 0));
    runs.extend(signed(raised, ROOT_SIZE * 66 / 100, 750));
    if let Some(bass) = bass {
        runs.push(LetterRun {
            text: "/".into(),
            size: ROOT_SIZE * 85 / 100,
            rise: -200,
        });
        runs.extend(signed(bass, ROOT_SIZE * 85 / 100, -200));
    }
    runs
}

/// The root with its accidental, and what follows; `None` where the symbol is a word, such as `N.C.`
fn root(symbol: &str) -> Option<(&str, &str)> {
    let first = symbol
        .chars()
        .next()
        .filter(|first| ('A'..='G').contains(first))?;
    let signs = symbol[first.len_utf8()..]
        .chars()
        .take_while(|c| "b#♭♯".contains(*c))
        .map(char::len_utf8)
        .sum::<usize>();
    Some(symbol.split_at(first.len_utf8() + signs))
}

/// Parts off a slash and the bass, or the lower chord, behind it: a letter from A to G follows the slash.
fn bass(rest: &str) -> (&str, Option<&str>) {
    match rest.rsplit_once('/') {
        Some((body, bass)) if bass.starts_with(|c: char| ('A'..='G').contains(&c)) => {
            (body, Some(bass))
        }
        _ => (rest, None),
    }
}

/// How many bytes of the body stay on the line: a word for minor, diminished or augmented, and `maj` before no number.
fn quality(body: &str) -> usize {
    const WORDS: [&str; 8] = ["mi", "min", "m", "-", "dim", "aug", "add", "sus"];
    let word = body
        .find(|c: char| !(c.is_ascii_lowercase() || c == '-'))
        .unwrap_or(body.len());
    match body.get(..word) {
        Some(word) if WORDS.contains(&word) && !matches!(word, "add" | "sus") => word.len(),
        Some(word)
            if word.starts_with('m') && !word.starts_with("maj") && word.ends_with("maj") =>
        {
            word.len() - 3
        }
        _ => 0,
    }
}

fn name(root: &str, size: Length, rise: Length) -> Vec<LetterRun> {
    let (letter, signs) = root.split_at(1);
    let mut runs = vec![LetterRun {
        text: letter.to_owned(),
        size,
        rise,
    }];
    if !signs.is_empty() {
        runs.push(LetterRun {
            text: accidentals(signs),
            size: size * 75 / 100,
            rise: rise + 450,
        });
    }
    runs
}

/// A text in which `b` and `#` before a number or behind a letter of a note are signs.
fn signed(text: &str, size: Length, rise: Length) -> Vec<LetterRun> {
    if text.is_empty() {
        return Vec::new();
    }
    vec![LetterRun {
        text: accidentals(text),
        size,
        rise,
    }]
}

/// The letters b and # as true accidentals.
pub(super) fn accidentals(text: &str) -> String {
    text.replace('b', "♭").replace('#', "♯")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(symbol: &str) -> Vec<(String, bool)> {
        runs(symbol)
            .into_iter()
            .map(|run| (run.text, run.rise > 500))
            .collect()
    }

    #[test]
    fn suffixes_are_raised_and_qualities_are_not() {
        let run = |text: &str, raised| (text.to_owned(), raised);
        assert_eq!(
            shown("Ebm7b5"),
            [
                run("E", false),
                run("♭", false),
                run("m", false),
                run("7♭5", true)
            ]
        );
        assert_eq!(
            shown("Abmaj7"),
            [run("A", false), run("♭", false), run("maj7", true)]
        );
        assert_eq!(
            shown("Cm(maj7)"),
            [run("C", false), run("m", false), run("(maj7)", true)]
        );
        assert_eq!(
            shown("F#dim7"),
            [
                run("F", false),
                run("♯", false),
                run("dim", false),
                run("7", true)
            ]
        );
        assert_eq!(shown("C6/9"), [run("C", false), run("6/9", true)]);
        assert_eq!(
            shown("F7/Eb"),
            [
                run("F", false),
                run("7", true),
                run("/", false),
                run("E♭", false)
            ]
        );
    }

    #[test]
    fn no_chord_is_a_word() {
        assert_eq!(shown("N.C."), [("N.C.".to_owned(), false)]);
    }

    #[test]
    fn a_longer_symbol_is_wider() {
        assert!(width("Bbmaj7#11") > width("Bb7") && width("Bb7") > width("B7"));
    }
}
