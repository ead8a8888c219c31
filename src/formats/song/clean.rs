//! Text of other formats as a line of a chart can hold it.

/// The text on one line, without what a chart would take for a comment, a bracket or a control character.
pub fn clean(text: &str) -> String {
    header_value(text).replace('[', "(").replace(']', ")")
}

/// The text as the value of a header line, where brackets are text.
pub fn header_value(text: &str) -> String {
    let plain = text.chars().map(|c| match c {
        ';' => ',',
        c if c.is_control() => ' ',
        c => c,
    });
    let plain: String = plain.collect();
    let words: Vec<&str> = plain.split_whitespace().collect();
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::{clean, header_value};

    #[test]
    fn a_line_stays_a_line() {
        assert_eq!(clean(" Quay; [by\n night]\u{7} "), "Quay, (by night)");
        assert_eq!(
            header_value(" Quay; [by\n night]\u{7} "),
            "Quay, [by night]"
        );
    }
}
