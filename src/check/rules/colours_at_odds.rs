//! Tones that don't combine: 9 beside b9 or #9, 5 beside b13, unless the symbol names both; a half step
//! between the two highest notes, a #9 below the third.
//!
//! The first is quoted in an excerpt of a chord book, the second is from memory.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use crate::check::rule::Test;
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "colours-at-odds",
    severity: Some(Severity::Warning),
    also: &[],
    why: "Two tones a half step apart in the wrong order, or two colours of one tone, cancel each other.",
    refused: "| G7 |\nlh | F3.Ab3.A3.B3 |",
    accepted: "| G7 |\nlh | F3.Ab3.B3.E4 |",
    mends: true,
    check: Test::Violations(|violation| {
        matches!(
            violation,
            Violation::Beside(..) | Violation::HalfStepOnTop { .. } | Violation::NinthBelowThird(_)
        )
    }),
};

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::in_all_keys;

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "colours-at-odds",
            &[
                "| G7 |\nlh | F3.Ab3.A3.B3 |",
                "| G7b13 |\nlh | F3.B3.D4.Eb4 |",
                "| C7#9 |\nlh | E3.Bb3.D4.D#4 |",
                "| Cmaj7 |\nlh | E3.G3.B3.C4 |",
                "| C7#9 |\nlh | D#3.E3.Bb3 |",
            ],
            &[
                "| G7 |\nlh | F3.Ab3.B3.E4 |",
                "| G7b13 |\nlh | F3.B3.Eb4 |",
                "| C7#9 |\nlh | E3.Bb3.D#4 |",
                "| Cm9 |\nlh | Eb3.Bb3.D4 |",
            ],
        );
    }
}
