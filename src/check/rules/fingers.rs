//! Five fingers can't hold the keys together.
//!
//! Which keys they can is said in [`crate::hand`]: no finger takes two keys, and neighbouring fingers open
//! only so far. How far the outer two open is the affair of `beyond-reach`.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use crate::check::rule::Test;
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "fingers",
    severity: Some(Severity::Error),
    also: &[],
    why: "A hand has five fingers, a finger takes one key, and neighbouring fingers open only so far.",
    refused: "| Dm11 |\nlh | D3.F3.G3.A3.C4.E4 |",
    accepted: "| Dm11 |\nlh | F3.G3.A3.C4.E4 |",
    mends: true,
    check: Test::Violations(|violation| {
        matches!(
            violation,
            Violation::TooManyKeys { .. } | Violation::BeyondFingers { .. }
        )
    }),
};

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::in_all_keys;

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "fingers",
            &[
                "| Dm11 |\nlh | D3.F3.G3.A3.C4.E4 |",
                // The little finger and the fourth don't open a sixth.
                "| Dm11 |\nlh | F3.D4.E4.F4.G4 |",
            ],
            &[
                "| Dm11 |\nlh | F3.G3.A3.C4.E4 |",
                "| Dm11 |\nlh | F3.C4.E4.G4 |",
                "| Am7 |\nlh | G3.B3.C4 |",
                // Three keys in a row have a finger each.
                "| G7b9 |\nlh | F3.B3.G4.Ab4 |",
            ],
        );
    }
}
