//! A note of the hand lies a minor second or a minor ninth below a sounding note of the tune.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use super::breaching;
use crate::check::{Rule, Severity};
use crate::hand::Breach;

pub(super) const RULE: Rule = Rule {
    name: "rubs-the-tune",
    severity: Some(Severity::Warning),
    why: "A note a half step or a minor ninth below the tune makes the tune sound out of tune.",
    refused: "| Fmaj7 |\nmel | F4:4 |\nlh | A3.C4.E4 |",
    accepted: "| Fmaj7 |\nmel | G4:4 |\nlh | A3.C4.E4 |",
    mends: true,
    check: |subject| breaching(subject, |breach| matches!(breach, Breach::RubsTune { .. })),
};

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::in_every_key;

    #[test]
    fn every_key_alike() {
        for refused in [
            "| Fmaj7 |\nmel | F4:4 |\nlh | A3.C4.E4 |",
            "| G7 |\nmel | C5:2 r:2 |\nlh | F3.B3 |",
        ] {
            in_every_key("rubs-the-tune", refused, true);
        }
        for accepted in [
            "| Fmaj7 |\nmel | G4:4 |\nlh | A3.C4.E4 |",
            "| Fmaj7 |\nmel | E4:4 |\nlh | A3.C4.E4 |",
            "| Fmaj7 |\nmel | F5:4 |\nlh | A3.C4.G4 |",
        ] {
            in_every_key("rubs-the-tune", accepted, false);
        }
    }
}
