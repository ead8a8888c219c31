//! A note of the hand lies a minor second or a minor ninth below a sounding note of the melody.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use super::against_the_melody::{Against, faults};
use crate::check::rule::Test;
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "rubs-the-melody",
    severity: Some(Severity::Warning),
    also: &[],
    why: "A note a half step or a minor ninth below the melody makes the melody sound out of tune.",
    refused: "| Fmaj7 |\nmel | F4:4 |\nlh | A3.C4.E4 |",
    accepted: "| Fmaj7 |\nmel | G4:4 |\nlh | A3.C4.E4 |",
    mends: true,
    check: Test::Chart(|context| faults(context, against)),
};

fn against(violation: &Violation) -> Option<Against> {
    match *violation {
        Violation::RubsMelody {
            degree,
            note,
            melody,
        } => Some(Against {
            degree,
            note,
            melody,
            does: "lies",
            place: match note.up_to(melody).0 {
                1 => "a minor second below",
                _ => "a minor ninth below",
            },
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
            "rubs-the-melody",
            &[
                "| Fmaj7 |\nmel | F4:4 |\nlh | A3.C4.E4 |",
                "| G7 |\nmel | C5:2 r:2 |\nlh | F3.B3 |",
            ],
            &[
                "| Fmaj7 |\nmel | G4:4 |\nlh | A3.C4.E4 |",
                "| Fmaj7 |\nmel | E4:4 |\nlh | A3.C4.E4 |",
                "| Fmaj7 |\nmel | F5:4 |\nlh | A3.C4.G4 |",
                // The suspension resolves, and the last note goes by.
                "| G7 |\nmel | C5:1 B4:2 C5:1 |\nlh | F3.B3 |",
            ],
        );
    }

    #[test]
    fn a_voicing_is_found_once_with_all_its_notes_as_the_page_spells_them() {
        let chart = "key: Db\n| Gbmaj7 |\nmel | Gb4:2 Cb5:2 |\nlh | Bb3.Db4.F4 |";
        assert_eq!(
            messages("rubs-the-melody", chart),
            [
                "the 3, Bb3, lies a minor ninth below the melody's Cb5; the 7, F4, a minor second below \
              its Gb4"
            ]
        );
    }
}
