//! Characters that are not seen in a text but change how it looks, or what a terminal does with it.

/// Whether a character is not seen but changes what is: control characters (C0, C1, with the tab and the
/// ends of lines among them), line and paragraph separators, and those that turn the direction of writing
/// (Unicode Standard Annex 9).
///
/// ```
/// # use compline::chart::is_hidden;
/// assert!(is_hidden('\u{202e}') && is_hidden('\t'));
/// assert!(!is_hidden(' ') && !is_hidden('é'));
/// ```
pub fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}' | '\u{2029}' | '\u{202a}'..='\u{202e}'
                | '\u{2066}'..='\u{2069}'
        )
}
