//! The third or the seventh is silent, or what stands for it.
//!
//! The sixth stands for the seventh in a sixth chord, the fourth for the third in a suspended one; a triad is told by its third and an altered fifth, a diminished chord by its third, fifth and seventh.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use super::violating;
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "missing-tone",
    severity: Some(Severity::Error),
    why: "Third and seventh tell one chord from another: without them, or what stands for them, nobody hears which it is.",
    refused: "| Fm7 |\nlh | F3.C4.Eb4 |",
    accepted: "| Fm7 |\nlh | Ab3.C4.Eb4 |",
    mends: true,
    check: |context| {
        violating(context, |violation| {
            matches!(violation, Violation::Silent(_))
        })
    },
};

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::in_all_keys;

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "missing-tone",
            &[
                "| Fm7 |\nlh | F3.C4.Eb4 |",
                "| Fm7 |\nlh | F3.Ab3.C4 |",
                "| G7sus4 |\nlh | G3.D4.F4 |",
                "| C6 |\nlh | C4.E4.G4 |",
                "| Bdim7 |\nlh | D4.Ab4 |",
            ],
            &[
                "| Fm7 |\nlh | Ab3.Eb4 |",
                "| G7sus4 |\nlh | F3.C4 |",
                "| C6 |\nlh | E4.A4 |",
                "| Bdim7 |\nlh | D4.F4.Ab4 |",
                "| C |\nlh | E4.G4 |",
                "| Cmaj7 |\nmel | C5:4 |\nlh | E3.A3.D4 |",
            ],
        );
    }
}
