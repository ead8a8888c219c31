//! A heading that is nearly one that means something, a section name that stands twice, or a key under a name
//! that has no signature.
//!
//! What is asked about is said in [`Chart::heading_warnings`](crate::chart::Chart::heading_warnings), which
//! every command that reads a chart goes by; keys in [`Chart::key_warnings`](crate::chart::Chart::key_warnings).

use crate::chart::{Diagnostic, Span};
use crate::check::context::Context;
use crate::check::rule::{Fault, FixKind, Test};
use crate::check::{FindingPlace, Rule, Severity};

pub(super) const RULE: Rule = Rule {
    name: "heading",
    severity: Some(Severity::Warning),
    also: &[],
    why: "A heading that is misspelt means nothing, and the tune is read without its key, meter or order.",
    refused: "metre: 3/4\n| Fm7 |",
    accepted: "meter: 3/4\n| Fm7 |",
    mends: false,
    check: Test::Chart(faults),
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    let asked = context.chart.heading_warnings().into_iter();
    let keys = context.chart.key_warnings().into_iter();
    // The key is understood all the same.
    let keys = keys.map(|asked| fault(asked, Some(Severity::Note)));
    asked.map(|asked| fault(asked, None)).chain(keys).collect()
}

fn fault(asked: Diagnostic, severity: Option<Severity>) -> Fault {
    Fault {
        place: FindingPlace::chart(Some(Span::new(asked.span))),
        message: asked.message,
        fix: FixKind::Advice(asked.help.unwrap_or_default()),
        violation: None,
        severity,
    }
}

#[cfg(test)]
mod tests {
    use super::RULE;
    use crate::check::rules::tests::{found, in_all_keys};

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "heading",
            &[RULE.refused, "titel: Quay\n| C |", "Tonality: Eb\n| C |"],
            &[RULE.accepted, "band: the Quay Trio\n| C |"],
        );
    }

    #[test]
    fn a_key_without_a_signature_is_worth_a_note() {
        assert_eq!(found("key: Ebb\n| D |"), ["heading"]);
        assert_eq!(found("key: D\n| D |"), [""; 0]);
    }

    #[test]
    fn a_section_that_play_cannot_mean_is_found() {
        let chart = "play: A A\n[A]\n| C |\n[A]\n| F |";
        assert_eq!(found(chart), ["heading"]);
        assert_eq!(found(&chart.replace("play: A A\n", "")), [""; 0]);
    }
}
