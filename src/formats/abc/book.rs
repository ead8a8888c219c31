//! A tune book taken apart into its tunes.

use std::ops::Range;

use memchr::memchr2_iter;

use crate::chart::sizes::{LONGEST_BOOK_HEAD, MOST_BOOK_BARS, MOST_TUNES};
use crate::formats::unreadable::UnreadableFile;

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
    let ends = || memchr2_iter(b'\n', b'\r', head).map(|end| end + 1);
    let lines = || {
        std::iter::once(0)
            .chain(ends())
            .filter_map(|start| head.get(start..))
    };
    let starts = |line: &[u8]| {
        let mut rest = line.strip_prefix(b"X:").unwrap_or_default().iter();
        let number = rest.find(|byte| !matches!(byte, b' ' | b'\t' | b'\x0c'));
        number.is_some_and(u8::is_ascii_digit)
    };
    lines().any(starts) && lines().any(|line| line.starts_with(b"K:"))
}

/// The tunes of a book, in order. A tune goes from its `X:` to an empty line or the next `X:`.
///
/// # Errors
///
/// More tunes than [`MOST_TUNES`], more bars than [`MOST_BOOK_BARS`], a head of more than
/// [`LONGEST_BOOK_HEAD`]: what one reads takes a time in proportion to all three.
///
/// ```
/// use compline::formats::abc::book;
///
/// let text = b"X:1\nT:One\nK:C\nC|\n\nX:7\nT:Two\nK:G\nG|\n";
/// let tunes = book(text).unwrap();
/// assert_eq!((tunes[1].number.as_str(), tunes[1].title.as_str()), ("7", "Two"));
/// assert_eq!(&text[tunes[0].bytes.clone()], b"X:1\nT:One\nK:C\nC|\n");
/// ```
pub fn book(bytes: &[u8]) -> Result<Vec<BookEntry>, UnreadableFile> {
    let mut tunes: Vec<BookEntry> = Vec::new();
    let mut open = false;
    let mut bars = 0;
    for line in lines(bytes) {
        let text = bytes.get(line.clone()).unwrap_or_default();
        bars += bars_of(text);
        if let Some(number) = text.strip_prefix(b"X:") {
            room(tunes.len(), bars)?;
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
    if tunes.len() > 1 {
        room(0, bars)?;
        short_head(bytes)?;
    }
    Ok(tunes)
}

/// How many bars stand in a line at most: those of its bar lines, and those of its rests of many bars.
fn bars_of(line: &[u8]) -> usize {
    let mut bars = 0;
    let mut rest = line;
    while let Some((first, behind)) = rest.split_first() {
        rest = behind;
        bars += match first {
            b'|' => 1,
            b'Z' | b'X' => number(behind),
            _ => 0,
        };
    }
    bars
}

/// The number a text begins with, as far as it counts; 0 for none.
fn number(text: &[u8]) -> usize {
    let digits = text.iter().take_while(|byte| byte.is_ascii_digit());
    let add = |sum: usize, digit: &u8| (10 * sum + usize::from(digit - b'0')).min(MOST_BOOK_BARS);
    digits.fold(0, add)
}

/// Whether a book with so many tunes and bars may have one tune more.
fn room(tunes: usize, bars: usize) -> Result<(), UnreadableFile> {
    let why = if tunes >= MOST_TUNES {
        format!("this book has more than {MOST_TUNES} tunes")
    } else if bars > MOST_BOOK_BARS {
        format!("this book has more than {MOST_BOOK_BARS} bars")
    } else {
        return Ok(());
    };
    Err(UnreadableFile::new(why).help("take it apart into several files"))
}

fn short_head(bytes: &[u8]) -> Result<(), UnreadableFile> {
    let most = LONGEST_BOOK_HEAD >> 10;
    match head(bytes) > LONGEST_BOOK_HEAD {
        true => Err(UnreadableFile::new(format!(
            "this book has a head of more than {most} KiB"
        ))),
        false => Ok(()),
    }
}

/// A tune by itself: with the fields at the head of the book, which hold for all its tunes.
pub fn alone(bytes: &[u8], tune: &BookEntry) -> Vec<u8> {
    let parts = [bytes.get(..head(bytes)), bytes.get(tune.bytes.clone())];
    parts.into_iter().flatten().flatten().copied().collect()
}

/// Where the fields at the head of a book end.
fn head(bytes: &[u8]) -> usize {
    let head = lines(bytes).take_while(|line| {
        let text = bytes.get(line.clone()).unwrap_or_default();
        let field = text.first().is_some_and(u8::is_ascii_alphabetic) && text.get(1) == Some(&b':');
        (field || text.starts_with(b"%")) && !text.starts_with(b"X:")
    });
    head.last().map_or(0, |line| line.end)
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
