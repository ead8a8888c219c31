//! A note of the melody that the chord as written has no place for.
//!
//! Which notes fit a chord and which go by is said in [`crate::harmony::fit`]. A misfit that lasts half
//! as long as its chord is a warning: the melody or the symbol is mistaken, or the harmony is meant to
//! bite and wants a suppression. What is held for a beat on a strong place and moves on is a note. A chord is found once for all notes it can't carry,
//! whether its left hand is given or still to be planned.

use crate::arrange::{Uncarried, uncarried_slots};
use crate::check::context::Context;
use crate::check::rule::{Fault, FixKind, Test};
use crate::check::{Rule, Severity};

pub(super) const RULE: Rule = Rule {
    name: "melody-at-odds",
    severity: Some(Severity::Note),
    also: &[(
        Severity::Warning,
        "a note that lasts half as long as its chord",
    )],
    why: "A note of the melody that is no tone of its chord and no tension sounds wrong for as long as it is held, whatever the hand plays.",
    refused: "key: C\n| Cmaj7 |\nmel | F4:4 |",
    accepted: "key: C\n| Cmaj7sus4 |\nmel | F4:4 |",
    mends: false,
    check: Test::Chart(faults),
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    if context.settings.arrange.ignore_melody {
        return Vec::new();
    }
    let problem = &context.voiced.problem;
    let found = uncarried_slots(problem);
    let fault = |(uncarried, slot): (&Uncarried, usize)| Fault {
        place: context.symbol_place(slot),
        message: uncarried.what(),
        fix: FixKind::Advice(Uncarried::CURE.to_owned()),
        violation: None,
        severity: uncarried.held.then_some(Severity::Warning),
    };
    let slots = found
        .iter()
        .flat_map(|uncarried| uncarried.slots.iter().map(move |slot| (uncarried, *slot)));
    slots.map(fault).collect()
}

#[cfg(test)]
mod tests {
    use crate::check::Severity;
    use crate::check::rules::tests::{found, found_under, in_all_keys, report, settings};

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "melody-at-odds",
            &[
                "| Cmaj7 |\nmel | F4:4 |",
                "| Dm7 |\nmel | F#4:4 |",
                "| G7 |\nmel | F#4:2 r:2 |",
                "| C |\nmel | E4:2 F4:1 C5:1 |",
            ],
            &[
                "| Cmaj7 |\nmel | E4:1 F4:1/2 G4:1/2 E4:2 |",
                "| Cmaj7 |\nmel | E4:1 F4:1 G4:2 |",
                "| C |\nmel | F4:1 E4:3 |",
                "| C |\nmel | F4:2 E4:2 |",
                "| Csus4 |\nmel | F4:4 |",
                "| Dm7 |\nmel | F4:4 |",
                "| G7 |\nmel | Ab4:2 Bb4:2 |",
            ],
        );
    }

    #[test]
    fn a_held_note_is_worth_more_than_a_leaning_one() {
        let severity = |melody: &str| {
            let report = report(&format!("key: C\n| Cmaj7 |\nmel | {melody} |"), &settings());
            assert_eq!(report.findings.len(), 1, "{melody}");
            report.findings[0].severity
        };
        assert_eq!(severity("F5:4"), Severity::Warning);
        assert_eq!(severity("F5:1 C5:3"), Severity::Note);
    }

    #[test]
    fn a_chord_is_found_once_and_a_given_hand_makes_no_difference() {
        let chart = "key: C\n| Cmaj7 |\nmel | F5:2 Db5:2 |";
        assert_eq!(found(chart), ["melody-at-odds"]);
        let voiced = format!("{chart}\nlh | E3.G3.B3 |");
        assert_eq!(found(&voiced), ["melody-at-odds"]);
    }

    #[test]
    fn a_melody_that_is_ignored_is_not_asked() {
        let mut settings = settings();
        settings.arrange.ignore_melody = true;
        let found = found_under("| Cmaj7 |\nmel | F4:4 |", &settings);
        assert_eq!(found, [""; 0]);
    }
}
