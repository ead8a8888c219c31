//! What users write (titles, comments, names of files) as it may stand on a terminal or in the log of a
//! build: a character that steers a terminal is shown and not sent, and no line begins with `::`, which
//! some build servers read as a command.

use std::borrow::Cow;
use std::path::Path;

use compline::chart::is_hidden;
use memchr::memchr_iter;

/// So many bytes are looked at together.
const BLOCK: usize = 64;

/// Whether a byte can be the first of a hidden character.
fn may_hide(byte: u8) -> bool {
    let first = matches!(byte, 0xc2 | 0xd8 | 0xe2);
    byte < b' ' && byte != b'\n' || byte == 0x7f || first
}

/// The same of a block, which is looked at as a whole first: most have nothing that is even near, a control
/// character, DEL, or beyond ASCII.
fn may_hide_in(block: &[u8; BLOCK]) -> bool {
    let is_near = |byte: &u8| !matches!(byte, b' '..=b'~');
    let near = block.iter().fold(false, |near, byte| near | is_near(byte));
    near && block.iter().copied().any(may_hide)
}

/// Whether anything in a text is hidden, apart from the ends of its lines.
pub fn hides(text: &str) -> bool {
    let (blocks, rest) = text.as_bytes().as_chunks();
    let maybe = blocks.iter().any(may_hide_in) || rest.iter().copied().any(may_hide);
    maybe && text.contains(|c| is_hidden(c) && c != '\n')
}

/// A text of any number of lines. What is hidden is written as `\u001b`, which in JSON is the same
/// character.
pub fn visible(text: &str) -> Cow<'_, str> {
    if !hides(text) && !commands(text) {
        return Cow::Borrowed(text);
    }
    let lines = text.split('\n').map(line);
    Cow::Owned(lines.collect::<Vec<_>>().join("\n"))
}

/// Whether a line of a text begins as a command of a build server does.
fn commands(text: &str) -> bool {
    let ends = memchr_iter(b'\n', text.as_bytes()).map(|end| end + 1);
    let mut starts = std::iter::once(0).chain(ends);
    let blank = |c: char| c.is_whitespace() && c != '\n';
    starts.any(|start| {
        let rest = text.get(start..).unwrap_or_default();
        rest.trim_start_matches(blank).starts_with("::")
    })
}

fn line(line: &str) -> String {
    let (line, end) = match line.strip_suffix('\r') {
        Some(line) => (line, "\r"),
        None => (line, ""),
    };
    let shown = escaped(line, |c| is_hidden(c) && c != '\t');
    match shown.trim_start().strip_prefix("::") {
        Some(command) => {
            let before = shown.len() - command.len() - 2;
            let indent = shown.get(..before).unwrap_or_default();
            format!("{indent}: :{command}{end}")
        }
        None => shown + end,
    }
}

/// A name, which must stay in one line.
pub fn in_one_line(name: &str) -> Cow<'_, str> {
    match name.contains(is_hidden) {
        false => Cow::Borrowed(name),
        true => Cow::Owned(escaped(name, is_hidden)),
    }
}

/// So many characters of one word are shown where it only says what was typed.
const MOST_OF_A_WORD: usize = 200;

/// A text whose overlong words are cut: what was typed is quoted in messages, of whatever length it is.
pub fn cut(text: &str) -> Cow<'_, str> {
    let is_end = |c: char| c.is_whitespace();
    if text.split(is_end).all(|word| word.len() <= MOST_OF_A_WORD) {
        return Cow::Borrowed(text);
    }
    let words = text.split_inclusive(is_end).map(cut_word);
    Cow::Owned(words.collect())
}

fn cut_word(word: &str) -> String {
    let count = word.chars().count();
    if count <= MOST_OF_A_WORD {
        return word.to_owned();
    }
    let half = MOST_OF_A_WORD / 2;
    let first = word.chars().take(half);
    first
        .chain("...".chars())
        .chain(word.chars().skip(count - half))
        .collect()
}

/// A path as messages name it.
pub fn path_in_one_line(path: impl AsRef<Path>) -> String {
    in_one_line(&path.as_ref().to_string_lossy()).into_owned()
}

/// A line of a source as it is quoted: what is hidden in it gives way to signs of the same length, so
/// that places in it stay what they are.
pub fn veiled(line: &str) -> Cow<'_, str> {
    if !line.contains(is_hidden) {
        return Cow::Borrowed(line);
    }
    let sign = |c: char| match (is_hidden(c), c.len_utf8()) {
        (true, 1) if c != '\t' => '?',
        (true, 2) => '\u{bf}',
        (true, 3) => '\u{fffd}',
        _ => c,
    };
    Cow::Owned(line.chars().map(sign).collect())
}

fn escaped(text: &str, hidden: impl Fn(char) -> bool) -> String {
    let mut shown = String::with_capacity(text.len());
    for c in text.chars() {
        match hidden(c) {
            true => shown.push_str(&format!("\\u{:04x}", u32::from(c))),
            false => shown.push(c),
        }
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_a_terminal_is_shown() {
        assert_eq!(visible("a\u{1b}[2Jb\n\tc\r\n"), "a\\u001b[2Jb\n\tc\r\n");
        assert_eq!(
            visible("\u{85}\u{202e}\u{9b}\rx"),
            "\\u0085\\u202e\\u009b\\u000dx"
        );
        assert_eq!(in_one_line("a\nb\t"), "a\\u000ab\\u0009");
        let plain = "title: C♯ über 12″ :: x\n";
        assert_eq!(visible(plain), plain);
    }

    #[test]
    fn every_hidden_character_is_found_by_its_first_byte() {
        let hidden = (char::MIN..=char::MAX).filter(|&c| is_hidden(c) && c != '\n');
        for c in hidden {
            let text = format!("{}{c} and so on", "x".repeat(100));
            assert!(hides(&text), "{c:?}");
        }
        assert!(!hides("title: C♯ über 12″ ‰\n"));
    }

    #[test]
    fn overlong_words_are_cut_in_their_middle() {
        let path = "a/".repeat(100);
        assert_eq!(cut(&path), path);
        let long = format!("value '{}' is\nnone", "x".repeat(5000));
        let shown = cut(&long);
        assert!(shown.starts_with("value 'xxx") && shown.ends_with("xxx' is\nnone"));
        assert_eq!(
            shown.chars().count(),
            "value ".len() + 203 + "is\nnone".len()
        );
        assert_eq!(
            cut(&"\u{266d}".repeat(300)).matches('\u{266d}').count(),
            200
        );
    }

    #[test]
    fn a_quoted_line_keeps_its_length() {
        let line = "a\u{1b}\u{85}\u{202e}\tb";
        assert_eq!(veiled(line), "a?\u{bf}\u{fffd}\tb");
        assert_eq!(veiled(line).len(), line.len());
    }

    #[test]
    fn no_line_begins_with_a_command() {
        assert_eq!(
            visible("x\n  ::error::y\n::::z"),
            "x\n  : :error::y\n: :::z"
        );
        assert_eq!(visible("\u{1b}::error"), "\\u001b::error");
    }

    #[test]
    fn what_is_escaped_in_json_is_the_same_text() {
        let json = serde_json::to_string("\u{202e}x\u{85}").unwrap();
        let shown = visible(&json);
        assert!(shown.is_ascii());
        let back: String = serde_json::from_str(&shown).unwrap();
        assert_eq!(back, "\u{202e}x\u{85}");
    }
}
