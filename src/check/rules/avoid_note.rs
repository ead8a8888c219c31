//! A note that the chord avoids: the natural 11 over a major third and its like, unless the symbol asks for it.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use super::violating;
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "avoid-note",
    severity: Some(Severity::Warning),
    why: "A half step above a tone of the chord, held, makes it sound like another chord or like a slip.",
    refused: "| Cmaj7 |\nlh | E3.F3.B3 |",
    accepted: "| Cmaj7 |\nlh | E3.G3.B3 |",
    mends: true,
    check: |context| {
        violating(context, |violation| {
            matches!(
                violation,
                Violation::Avoid(_) | Violation::EleventhOverThird
            )
        })
    },
};

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::in_all_keys;

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "avoid-note",
            &[
                "| Cmaj7 |\nlh | E3.F3.B3 |",
                "| G7 |\nlh | F3.B3.C4 |",
                "| F |\nlh | A3.Bb3.C4 |",
            ],
            &[
                "| Cmaj7 |\nlh | E3.G3.B3 |",
                "| Cmaj7#11 |\nlh | E3.F#3.B3 |",
                "| Gm11 |\nlh | F3.Bb3.C4 |",
                "| G7sus4 |\nlh | F3.C4 |",
            ],
        );
    }
}
