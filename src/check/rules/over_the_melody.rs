//! A note of the hand lies above a sounding note of the melody.
//!
//! The same key is allowed: the hands share it.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use super::against_the_melody::{Against, faults};
use crate::check::rule::Test;
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "over-the-melody",
    severity: Some(Severity::Error),
    also: &[],
    why: "The highest note is heard as the melody, so what the hand plays above it takes the melody away.",
    refused: "| Fm7 |\nmel | C4:4 |\nlh | Ab3.C4.Eb4 |",
    accepted: "| Fm7 |\nmel | Eb4:4 |\nlh | Ab3.C4.Eb4 |",
    mends: true,
    check: Test::Chart(|context| faults(context, against)),
};

fn against(violation: &Violation) -> Option<Against> {
    match *violation {
        Violation::AboveMelody {
            degree,
            note,
            melody,
        } => Some(Against {
            degree,
            note,
            melody,
            does: "would sound",
            place: "above",
        }),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::{in_all_keys, messages};

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "over-the-melody",
            &[
                "| Fm7 |\nmel | C4:4 |\nlh | Ab3.C4.Eb4 |",
                "| G7 |\nmel | D5:2 A3:2 |\nlh | F3.B3 |",
            ],
            &[
                "| Fm7 |\nmel | Eb4:4 |\nlh | Ab3.C4.Eb4 |",
                "| G7 |\nmel | D5:2 B3:2 |\nlh | F3.B3 |",
                "| Fm7 |\nlh | Ab3.C4.Eb4 |",
                // A low note that goes by.
                "| G7 |\nmel | D5:3 A3:1 |\nlh | F3.B3 |",
            ],
        );
    }

    #[test]
    fn a_voicing_is_found_once_with_all_its_notes_as_the_page_spells_them() {
        let chart = "key: Db\n| Ebm7 |\nmel | Db4:2 Cb4:2 |\nlh | Gb3.Bb3.Db4.F4 |";
        assert_eq!(
            messages("over-the-melody", chart),
            ["the b7, Db4, would sound above the melody's Cb4; the 9, F4, above its Cb4 and Db4"]
        );
    }
}
