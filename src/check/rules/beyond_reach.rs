//! The outer notes lie further apart than the hand opens.
//!
//! The reach is a number of semitones or a measured hand: see [`crate::hand::Reach`]. No reach is claimed to be safe; every finding carries [`crate::explain::CAUTION`].
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use crate::check::rule::Test;
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "beyond-reach",
    severity: Some(Severity::Error),
    also: &[],
    why: "A stretch that the hand can't open to can't be played as written, and trying can hurt.",
    refused: "| Fm7 |\nlh | Eb3.Ab3.G4 |",
    accepted: "| Fm7 |\nlh | Eb3.G3.Ab3.C4 |",
    mends: true,
    check: Test::Violations(|violation| {
        matches!(
            violation,
            Violation::OutOfReach { .. } | Violation::BeyondHand { .. }
        )
    }),
};

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::found;

    #[test]
    fn a_ninth_is_reached_and_a_tenth_is_not() {
        for refused in [
            "| Fm7 |\nlh | Eb3.Ab3.G4 |",
            "| C |\nlh | C3.E4 |",
            "| Db |\nlh | Db3.F4 |",
        ] {
            assert!(found(refused).contains(&"beyond-reach"), "{refused}");
        }
        for accepted in [
            "| Fm7 |\nlh | Eb3.Ab3.F4 |",
            "| C9 |\nlh | C3.D4 |",
            "| Db9 |\nlh | Db3.Eb4 |",
        ] {
            assert!(!found(accepted).contains(&"beyond-reach"), "{accepted}");
        }
    }
}
