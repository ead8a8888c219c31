//! Something that the symbol names is silent while something that it doesn't name sounds.
//!
//! Third and seventh don't count as either: 3 and b7 alone are always enough.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use super::violating;
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "unsaid-tone",
    severity: Some(Severity::Warning),
    why: "What the symbol names comes first: a tone it doesn't name takes the place of one that the reader was promised.",
    refused: "| F7b9 |\nlh | A3.C4.Eb4 |",
    accepted: "| F7b9 |\nlh | A3.Eb4.Gb4 |",
    mends: true,
    check: |context| {
        violating(context, |violation| {
            matches!(violation, Violation::ImpliedBeforeNamed { .. })
        })
    },
};

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::in_all_keys;

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "unsaid-tone",
            &[
                "| F7b9 |\nlh | A3.C4.Eb4 |",
                "| C9 |\nlh | C4.E4.Bb4 |",
                "| G13 |\nlh | F3.B3.D4 |",
            ],
            &[
                "| F7b9 |\nlh | A3.Eb4.Gb4 |",
                "| C9 |\nlh | E4.Bb4 |",
                "| G13 |\nlh | F3.B3.E4 |",
            ],
        );
    }
}
