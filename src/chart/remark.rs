//! The text of the program's own remark lines, `deg` and `move`, and of its closing comments.

/// How the program's own closing comments begin. A new plan replaces them.
pub(crate) const PLAN: &str = " plan: ";

/// The text as a remark line can hold it: one space between words, and nothing that would start a
/// comment or read as a bar line.
pub(super) fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.chars() {
        let c = match c {
            '|' | ';' => ' ',
            c if c.is_control() || c.is_whitespace() => ' ',
            c => c,
        };
        let doubled =
            matches!(c, ' ' | ':') && (plain.ends_with(c) || plain.is_empty() && c == ' ');
        if !doubled {
            plain.push(c);
        }
    }
    plain.truncate(plain.trim_end().len());
    plain
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn nothing_that_means_something_is_left() {
        assert_eq!(plain("  b3.5\t\n b7 "), "b3.5 b7");
        assert_eq!(plain("a|b;c"), "a b c");
        assert_eq!(plain(":::"), ":");
        assert_eq!(plain(" "), "");
    }
}
