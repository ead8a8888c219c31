//! What the program adds to a chart as a remark of its own: rows of degrees and motion, and sums.
//!
//! Every such line begins with [`MARK`]. It is ignored on reading, whatever it says. So nothing in it is
//! ever taken for a user's comment, and no comment for a remark. Whoever rewrites a chart writes them
//! afresh or leaves them out.

use std::collections::BTreeSet;
use std::ops::Range;

/// How a line begins that is a remark of the program. Nothing stands before it in the line.
pub const MARK: &str = ";:";

/// Stands in a row for a slot about which there is nothing to say.
const NOTHING: &str = "-";

/// What the program adds to a chart when it writes it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Annotations {
    /// Rows under the bars, from top to bottom.
    pub rows: Vec<Annotation>,
    /// Lines at the end.
    pub below: Vec<String>,
}

/// A row that says something about every slot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Annotation {
    /// What it is called at its beginning.
    pub label: &'static str,
    /// What it says about each slot, in order; `None` where there is nothing to say.
    pub of_slots: Vec<Option<String>>,
}

impl Annotation {
    /// The words about some slots, one for each.
    pub(super) fn words(&self, slots: Range<usize>) -> Vec<String> {
        let said = |slot: usize| self.of_slots.get(slot)?.as_deref().map(plain);
        let words = slots.map(|slot| said(slot).filter(|text| !text.is_empty()));
        words
            .map(|text| text.unwrap_or_else(|| NOTHING.to_owned()))
            .collect()
    }
}

/// Whether a line is a remark of the program.
pub(super) fn is_remark(line: &str) -> bool {
    line.starts_with(MARK)
}

/// Where the program's remarks stand in a text, each line with its line feed.
///
/// ```
/// let text = "| C |\n;:deg  | 3.5 |\n; mine\n";
/// let lines: Vec<_> = compline::chart::remark_lines(text).collect();
/// assert_eq!(lines, [6..21]);
/// ```
pub fn remark_lines(source: &str) -> impl Iterator<Item = Range<usize>> + '_ {
    let mut at = 0;
    let lines = source.split_inclusive('\n').map(move |line| {
        at += line.len();
        (at - line.len()..at, line)
    });
    let lines = lines.filter(|(_, line)| is_remark(line));
    lines.map(|(range, _)| range)
}

/// What the program's remarks in a text are called, each once, in their order.
///
/// ```
/// let text = "| C |\n;:deg  | 3.5 |\n\n;:plan motion 0\n";
/// let labels: Vec<_> = compline::chart::remark_labels(text).into_iter().collect();
/// assert_eq!(labels, ["deg", "plan"]);
/// ```
pub fn remark_labels(source: &str) -> BTreeSet<&str> {
    let lines = remark_lines(source).filter_map(|line| source.get(line));
    let words = lines.filter_map(|line| line.strip_prefix(MARK)?.split_whitespace().next());
    words.collect()
}

/// A text without the program's remarks, and without blank lines that they leave at its end.
///
/// ```
/// let text = "| C |\n;:deg  | 3.5 |\n; mine\n\n;:plan motion 0\n";
/// assert_eq!(compline::chart::without_remarks(text), "| C |\n; mine\n");
/// ```
pub fn without_remarks(source: &str) -> String {
    let mut text = String::with_capacity(source.len());
    let mut at = 0;
    for range in remark_lines(source) {
        text.push_str(source.get(at..range.start).unwrap_or_default());
        at = range.end;
    }
    text.push_str(source.get(at..).unwrap_or_default());
    if at > 0 {
        let blank = text.trim_end_matches('\n').len();
        text.truncate(text.len().min(blank + 1));
    }
    text
}

/// The text as a row can hold it: one word, and nothing that reads as a bar line.
fn plain(text: &str) -> String {
    let allowed = |c: &char| *c != '|' && !c.is_control() && !c.is_whitespace();
    text.chars().filter(allowed).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_has_one_word_for_each_slot() {
        let row = Annotation {
            label: "deg",
            of_slots: vec![Some("b3.5".to_owned()), Some(" a|b\n".to_owned()), None],
        };
        assert_eq!(row.words(0..4), ["b3.5", "ab", "-", "-"]);
    }

    #[test]
    fn only_the_beginning_of_a_line_is_a_mark() {
        let text = " ;: mine\n| C | ;: mine too\n";
        assert_eq!(without_remarks(text), text);
        assert_eq!(without_remarks("| C |\n\n"), "| C |\n\n");
        assert_eq!(without_remarks(";: gone"), "");
    }
}
