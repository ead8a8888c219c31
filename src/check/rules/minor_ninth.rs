//! Two notes lie a minor ninth apart, or a minor ninth and octaves.
//!
//! No symbol excuses it, since another order of the same notes avoids it; the flat ninth of a dominant over its root is the one exception. A minor second inside the hand is none: it is the bite of a minor ninth chord.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use crate::check::rule::Test;
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "minor-ninth",
    severity: Some(Severity::Warning),
    also: &[],
    why: "A minor ninth between two notes is the harshest interval on the keyboard; only a dominant's flat ninth over its root is heard as a colour.",
    refused: "| Cmaj7 |\nlh | B3.E4.C5 |",
    accepted: "| Cmaj7 |\nlh | C4.E4.B4 |",
    mends: true,
    check: Test::Violations(|violation| matches!(violation, Violation::MinorNinth { .. })),
};

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::in_all_keys;

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "minor-ninth",
            &["| Cmaj7 |\nlh | B3.E4.C5 |", "| Fm9 |\nlh | G3.Eb4.Ab4 |"],
            &[
                "| Cmaj7 |\nlh | C4.E4.B4 |",
                "| Fm9 |\nlh | Eb4.G4.Ab4 |",
                "| G7b9 |\nlh | G3.F4.Ab4.B4 |",
            ],
        );
    }
}
