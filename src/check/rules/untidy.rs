//! A chart that isn't in its standard layout, the program's own remarks left aside. Off unless it is
//! turned on.

use crate::chart::{MARK, Span, without_remarks};
use crate::check::context::Context;
use crate::check::rule::{Fault, FixKind, Test};
use crate::check::{FindingPlace, Rule};

pub(super) const RULE: Rule = Rule {
    name: "untidy",
    severity: None,
    also: &[],
    why: "Bars under bars are read at sight, and a change in a tidy chart shows as what it is.",
    refused: "| Fm7 | Bb7\n",
    accepted: "     | Fm7 | Bb7 |\n",
    mends: true,
    check: Test::Chart(faults),
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    let Some(source) = context.source else {
        return Vec::new();
    };
    let tidy = context.chart.tidy();
    if without_remarks(source) == tidy {
        return Vec::new();
    }
    vec![Fault {
        place: FindingPlace::chart(Some(first_difference(source, &tidy))),
        message: "the chart is not in its standard layout".to_owned(),
        fix: FixKind::Tidy,
        violation: None,
        severity: None,
    }]
}

/// The first line of the source that is not as in the standard layout.
fn first_difference(source: &str, tidy: &str) -> Span {
    let mut at = 0;
    let mut lines = tidy.split('\n');
    for line in source.split('\n') {
        if line.starts_with(MARK) {
            at += line.len() + 1;
            continue;
        }
        if lines.next() != Some(line) {
            return Span::new(at..at + line.trim_end_matches('\r').len());
        }
        at += line.len() + 1;
    }
    Span::new(source.len()..source.len())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::Severity;
    use crate::check::rules::tests::{found_under, in_every_key, settings};

    #[test]
    fn every_key_alike() {
        in_every_key("untidy", RULE.accepted, false);
        let mut settings = settings();
        settings.set("untidy", Some(Severity::Note)).unwrap();
        for refused in ["| Fm7 | Bb7 |", " | Ebmaj7 |\n", "key:Ab\n\n     | Fm7 |\n"] {
            assert_eq!(found_under(refused, &settings), ["untidy"], "{refused}");
        }
    }

    #[test]
    fn the_first_line_that_differs_is_shown() {
        assert_eq!(first_difference("a\nbc\nd", "a\nb\nd").range(), 2..4);
        assert_eq!(first_difference("a\r\nb", "a\nb").range(), 0..1);
        assert_eq!(first_difference("a", "a\n").range(), 1..1);
        assert_eq!(first_difference("a\n\n", "a\n").range(), 3..3);
        // A remark of the program's is no part of the layout, and as long as it is.
        let remarked = format!("{MARK} one\na\n{MARK} another\nbc\n");
        let at = remarked.find("bc").unwrap();
        assert_eq!(first_difference(&remarked, "a\nb\n").range(), at..at + 2);
    }
}
