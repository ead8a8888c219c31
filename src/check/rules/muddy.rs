//! An interval stands lower than its limit.
//!
//! The table in force says how low each interval may stand: see [`crate::hand::handbook`]. The textbooks call the limits guidelines below which there is a risk (Lowell & Pullig 2003, sect. 1-4), so a
//! finding is a warning. Beside it stands a second opinion of an ear model, which judges nothing.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use crate::check::rule::Test;
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "muddy",
    severity: Some(Severity::Warning),
    also: &[],
    why: "Low notes close together sound as one thick noise, in which no chord is heard.",
    refused: "| Em7 |\nlh | D3.E3.G3 |",
    accepted: "| Em7 |\nlh | D3.G3 |",
    mends: true,
    check: Test::Violations(|violation| matches!(violation, Violation::Muddy { .. })),
};

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::found;

    #[test]
    fn the_lower_note_and_the_interval_decide() {
        for refused in [
            "| Em7 |\nlh | D3.E3.G3 |",
            "| Bb7 |\nlh | Ab2.C3.D3 |",
            "| D7 |\nlh | C3.D3.F#3 |",
            "| Am7 |\nlh | A2.C3.E3 |",
        ] {
            assert!(found(refused).contains(&"muddy"), "{refused}");
        }
        for accepted in [
            "| Fm7 |\nlh | Eb3.G3.Ab3.C4 |",
            "| Bb7 |\nlh | Ab3.C4.D4 |",
            "| D7 |\nlh | F#3.C4 |",
            "| Am7 |\nlh | C3.G3 |",
        ] {
            assert!(!found(accepted).contains(&"muddy"), "{accepted}");
        }
    }
}
