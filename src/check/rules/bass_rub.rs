//! A tone that the symbol doesn't ask for lies a half step from its slash bass, in any octave.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use crate::check::rule::Test;
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "bass-rub",
    severity: Some(Severity::Warning),
    also: &[],
    why: "An added tone a half step from the written bass sounds like a wrong bass note.",
    refused: "| Fm/E |\nlh | Ab3.C4.Eb4 |",
    accepted: "| Fm/E |\nlh | F3.Ab3.C4 |",
    mends: true,
    check: Test::Violations(|violation| matches!(violation, Violation::RubsBass { .. })),
};

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::in_all_keys;

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "bass-rub",
            &[
                "| Fm/E |\nlh | Ab3.C4.Eb4 |",
                "| C/B |\nlh | E4.G4.Bb4 |",
                "| C/C# |\nlh | E4.G4.D5 |",
            ],
            &[
                "| Fm/E |\nlh | F3.Ab3.C4 |",
                "| C/B |\nlh | E4.G4.B4 |",
                "| C/E |\nlh | E4.G4.A4 |",
            ],
        );
    }
}
