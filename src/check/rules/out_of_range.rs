//! A note lies outside the stretch of the keyboard that the hand keeps to.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use crate::check::rule::Test;
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "out-of-range",
    severity: Some(Severity::Error),
    also: &[],
    why: "Below its stretch of the keyboard the hand gets in the bass player's way, above it in the melody's.",
    refused: "| Fm7 |\nlh | Ab2.Eb3 |",
    accepted: "| Fm7 |\nlh | Ab3.Eb4 |",
    mends: true,
    check: Test::Violations(|violation| {
        matches!(
            violation,
            Violation::BelowRange { .. } | Violation::AboveRange { .. }
        )
    }),
};

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::found;

    #[test]
    fn both_ends_belong_to_the_range() {
        for refused in [
            "| Fm7 |\nlh | Ab2.Eb3 |",
            "| Cmaj7 |\nlh | E4.B4 |",
            "| G7 |\nlh | B2.F3 |",
        ] {
            assert!(found(refused).contains(&"out-of-range"), "{refused}");
        }
        for accepted in [
            "| Fm7 |\nlh | Ab3.Eb4 |",
            "| Cmaj7 |\nlh | E3.B3 |",
            "| F |\nlh | C3.A3 |",
            "| F |\nlh | F4.A4 |",
        ] {
            assert!(!found(accepted).contains(&"out-of-range"), "{accepted}");
        }
    }
}
