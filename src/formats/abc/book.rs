//! A tune book taken apart into its tunes.

use std::ops::Range;

/// A tune of a book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BookEntry {
    /// What the book calls it, after `X:`.
    pub number: String,
    /// Its first title.
    pub title: String,
    /// Its bytes in the book.
    pub bytes: Range<usize>,
}

/// Whether a text looks like ABC: it says so, or a tune starts in it.
pub fn is_abc(bytes: &[u8]) -> bool {
    let head = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if head.starts_with(b"%abc") {
        return true;
    }
    // A tune starts with a number and its header ends with a key.
    let head = head.get(..head.len().min(1 << 16)).unwrap_or_default();
    let lines = || head.split(|byte| matches!(byte, b'\n' | b'\r'));
    let starts = |line: &[u8]| {
        let rest = line.strip_prefix(b"X:").map(<[u8]>::trim_ascii);
        rest.is_some_and(|rest| rest.first().is_some_and(u8::is_ascii_digit))
    };
    lines().any(starts) && lines().any(|line| line.starts_with(b"K:"))
}

/// The tunes of a book, in order. A tune goes from its `X:` to an empty line or the next `X:`.
///
/// ```
/// use compline::formats::abc::book;
///
/// let text = b"X:1\nT:One\nK:C\nC|\n\nX:7\nT:Two\nK:G\nG|\n";
/// let tunes = book(text);
/// assert_eq!((tunes[1].number.as_str(), tunes[1].title.as_str()), ("7", "Two"));
/// assert_eq!(&text[tunes[0].bytes.clone()], b"X:1\nT:One\nK:C\nC|\n");
/// ```
pub fn book(bytes: &[u8]) -> Vec<BookEntry> {
    let mut tunes: Vec<BookEntry> = Vec::new();
    let mut open = false;
    for line in lines(bytes) {
        let text = bytes.get(line.clone()).unwrap_or_default();
        if let Some(number) = text.strip_prefix(b"X:") {
            open = true;
            tunes.push(BookEntry {
                number: shown(number),
                title: String::new(),
                bytes: line,
            });
        } else if text.trim_ascii().is_empty() {
            open = false;
        } else if let Some(tune) = tunes.last_mut().filter(|_| open) {
            tune.bytes.end = line.end;
            if let (Some(title), true) = (text.strip_prefix(b"T:"), tune.title.is_empty()) {
                tune.title = shown(title);
            }
        }
    }
    tunes
}

/// A tune by itself: with the fields at the head of the book, which hold for all its tunes.
pub fn alone(bytes: &[u8], tune: &BookEntry) -> Vec<u8> {
    let head = lines(bytes).take_while(|line| {
        let text = bytes.get(line.clone()).unwrap_or_default();
        let field = text.first().is_some_and(u8::is_ascii_alphabetic) && text.get(1) == Some(&b':');
        (field || text.starts_with(b"%")) && !text.starts_with(b"X:")
    });
    let end = head.last().map_or(0, |line| line.end);
    let parts = [bytes.get(..end), bytes.get(tune.bytes.clone())];
    parts.into_iter().flatten().flatten().copied().collect()
}

fn shown(text: &[u8]) -> String {
    String::from_utf8_lossy(text.trim_ascii()).into_owned()
}

/// The lines with their ends.
fn lines(bytes: &[u8]) -> impl Iterator<Item = Range<usize>> {
    let mut at = 0;
    std::iter::from_fn(move || {
        let rest = bytes.get(at..).filter(|rest| !rest.is_empty())?;
        let end = rest.iter().position(|byte| matches!(byte, b'\n' | b'\r'));
        let mut end = end.map_or(bytes.len(), |end| at + end + 1);
        if bytes.get(end - 1..=end) == Some(b"\r\n") {
            end += 1;
        }
        let line = at..end;
        at = end;
        Some(line)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn abc_is_told_from_charts() {
        assert!(is_abc(b"X: 1\r\nT:Quay\r\nK:C\r\nCDEF|\r\n"));
        assert!(is_abc(b"%abc-2.1\n"));
        assert!(!is_abc(b"title: X\nkey: C\n| C |\n"));
        assert!(!is_abc(b"X:1\n| C |\n"));
    }
}
