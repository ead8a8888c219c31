//! A waiver that is wrong, or of no use.
//!
//! How a waiver is written is said in [`crate::check`]'s reader of waivers. A rule that doesn't exist
//! and a bar that doesn't exist are errors; a waiver without a reason waives nothing and one that
//! waives nothing is a leftover, which are warnings. A waiver for a rule that is off is no leftover.

use crate::chart::Span;
use crate::check::context::Context;
use crate::check::rule::{Fault, FixKind, Test};
use crate::check::suppression::{Mistake, Suppression};
use crate::check::{FindingPlace, Rule, Severity};

pub(in crate::check) const RULE: Rule = Rule {
    name: "waiver",
    severity: Some(Severity::Warning),
    also: &[(Severity::Error, "a rule or a bar that does not exist")],
    why: "A waiver nobody needs any more hides the next fault in its place.",
    refused: "| Em7 | ; waive muddy: low on purpose\nlh | D3.G3 |",
    accepted: "| Em7 | ; waive muddy: low on purpose\nlh | D3.E3.G3 |",
    mends: false,
    check: Test::Chart(faults),
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    let bad = context.suppressions.bad.iter();
    bad.map(|(mistake, span)| of_mistake(mistake, *span))
        .collect()
}

/// The fault of a waiver that waived nothing.
pub(in crate::check) fn unused(suppression: &Suppression) -> Fault {
    let message = format!(
        "nothing here breaks `{}`, which is waived",
        suppression.rule
    );
    fault(
        suppression.span,
        message,
        "take the waiver out".to_owned(),
        None,
    )
}

fn of_mistake(mistake: &Mistake, span: Span) -> Fault {
    let example = "write `; waive RULE: why`".to_owned();
    let error = Some(Severity::Error);
    match mistake {
        Mistake::NoRule => fault(
            span,
            "a waiver that names no rule".to_owned(),
            example,
            error,
        ),
        Mistake::Unknown(unknown) => {
            let advice = match unknown.nearest {
                Some(nearest) => format!("write `{nearest}`"),
                None => "name a rule there is, or take the waiver out".to_owned(),
            };
            fault(span, unknown.to_string(), advice, error)
        }
        Mistake::NoReason => {
            let message = "a waiver without a reason waives nothing".to_owned();
            fault(
                span,
                message,
                "write why behind a colon: `; waive RULE: why`".to_owned(),
                None,
            )
        }
        Mistake::NoSuchBar(place) => {
            let message = format!("a waiver in `{place}`, which is no bar of this chart");
            let advice = "write `in bar 7`, or `in bar 7.2` for its second chord".to_owned();
            fault(span, message, advice, error)
        }
    }
}

fn fault(span: Span, message: String, advice: String, severity: Option<Severity>) -> Fault {
    Fault {
        place: FindingPlace::chart(Some(span)),
        message,
        fix: FixKind::Advice(advice),
        violation: None,
        severity,
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Severity;
    use crate::check::rules::tests::{found, report, settings};

    #[test]
    fn a_waiver_that_waives_is_none_and_a_leftover_is_one() {
        for (symbol, muddy, clean) in [
            ("Em7", "D3.E3.G3", "D3.G3"),
            ("Dm7", "C3.D3.F3", "C3.F3"),
            ("D7", "C3.D3.F#3", "C3.F#3"),
        ] {
            let chart = |hand: &str| format!("| {symbol} | ; waive muddy: so\nlh | {hand} |");
            let report = report(&chart(muddy), &settings());
            assert_eq!(report.findings, [], "{symbol}");
            assert_eq!(report.suppressed.len(), 1);
            assert_eq!(report.suppressed[0].suppressed.as_deref(), Some("so"));
            assert_eq!(found(&chart(clean)), ["waiver"], "{symbol}");
        }
    }

    #[test]
    fn mistakes_have_their_severity() {
        let severity = |comment: &str| {
            let report = report(&format!("| Fm7 | {comment}\n"), &settings());
            assert_eq!(report.findings.len(), 1, "{comment}");
            report.findings[0].severity
        };
        assert_eq!(severity("; waive muddy"), Severity::Warning);
        assert_eq!(severity("; waive muddy: so"), Severity::Warning);
        assert_eq!(severity("; waive: so"), Severity::Error);
        assert_eq!(severity("; waive mudy: so"), Severity::Error);
        assert_eq!(severity("; waive muddy in bar 9: so"), Severity::Error);
    }

    #[test]
    fn a_waiver_for_a_rule_that_is_off_is_no_leftover() {
        let mut settings = settings();
        settings.set("muddy", None).unwrap();
        let report = report("| Fm7 | ; waive muddy: so\n", &settings);
        assert_eq!(report.findings, []);
    }
}
