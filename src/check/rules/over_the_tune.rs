//! A note of the hand lies above a sounding note of the tune.
//!
//! The same key is allowed: the hands share it.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use super::breaching;
use crate::check::{Rule, Severity};
use crate::hand::Breach;

pub(super) const RULE: Rule = Rule {
    name: "over-the-tune",
    severity: Some(Severity::Error),
    why: "The highest note is heard as the tune, so what the hand plays above it takes the tune away.",
    refused: "| Fm7 |\nmel | C4:4 |\nlh | Ab3.C4.Eb4 |",
    accepted: "| Fm7 |\nmel | Eb4:4 |\nlh | Ab3.C4.Eb4 |",
    mends: true,
    check: |subject| breaching(subject, |breach| matches!(breach, Breach::AboveTune { .. })),
};

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::in_every_key;

    #[test]
    fn every_key_alike() {
        for refused in [
            "| Fm7 |\nmel | C4:4 |\nlh | Ab3.C4.Eb4 |",
            "| G7 |\nmel | D5:1 A3:1 r:2 |\nlh | F3.B3 |",
        ] {
            in_every_key("over-the-tune", refused, true);
        }
        for accepted in [
            "| Fm7 |\nmel | Eb4:4 |\nlh | Ab3.C4.Eb4 |",
            "| G7 |\nmel | D5:1 B3:1 r:2 |\nlh | F3.B3 |",
            "| Fm7 |\nlh | Ab3.C4.Eb4 |",
        ] {
            in_every_key("over-the-tune", accepted, false);
        }
    }
}
