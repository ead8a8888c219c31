//! The third or the seventh is silent, or what stands for it.
//!
//! The sixth stands for the seventh in a sixth chord, the fourth for the third in a suspended one; a triad is told by its third and an altered fifth, a diminished chord by its third, fifth and seventh.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use super::strange_notes::stands_for;
use super::{is_shell_of_two, violating};
use crate::check::context::Context;
use crate::check::rule::{Fault, Test};
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "missing-tone",
    severity: Some(Severity::Error),
    also: &[(
        Severity::Note,
        "a 6 for the major seventh or the other way round, a shell of two notes",
    )],
    why: "Third and seventh tell one chord from another: without them, or what stands for them, nobody hears which it is.",
    refused: "| Fm7 |\nlh | F3.C4.Eb4 |",
    accepted: "| Fm7 |\nlh | Ab3.C4.Eb4 |",
    mends: true,
    check: Test::Chart(faults),
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    let mut all = violating(context, |violation| {
        matches!(violation, Violation::Silent(_) | Violation::ForTheRoot(_))
    });
    for fault in &mut all {
        let slot = fault.place.slot;
        if let Some(idiom) = slot.and_then(|slot| idiom(context, slot, &fault.message)) {
            fault.message = idiom;
            fault.let_stay();
        }
    }
    all
}

/// What players take a voicing for in which third or seventh is silent; `None` where it only lacks them.
fn idiom(context: &Context<'_>, slot: usize, message: &str) -> Option<String> {
    let voicing = context.voicing(slot)?;
    if is_shell_of_two(voicing) {
        return Some(format!("{message}: a shell of two notes"));
    }
    let violations = context.violations(slot).iter();
    let silent = violations.filter_map(|violation| match violation {
        Violation::Silent(degree) => Some(*degree),
        _ => None,
    });
    let words: Option<Vec<String>> = silent
        .map(|silent| {
            let mut notes = voicing.notes.iter();
            let note = notes.find(|note| stands_for(silent, note))?;
            Some(format!("the {} stands for the {silent}", note.degree))
        })
        .collect();
    words
        .map(|words| words.join("; "))
        .filter(|words| !words.is_empty())
}

#[cfg(test)]
mod tests {
    use crate::check::Severity;
    use crate::check::rules::tests::{in_all_keys, report, settings};

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

    #[test]
    fn sixth_and_major_seventh_stand_for_each_other_and_two_notes_for_a_chord() {
        for chart in [
            "| Cmaj7 |\nlh | E3.A3.D4 |",
            "| C6 |\nlh | E3.G3.B3 |",
            "| Cmaj7 |\nlh | C3.A3 |",
            "| Cdim7 |\nlh | C3.Eb3 |",
            "| C/E |\nlh | C3.E3 |",
        ] {
            let report = report(chart, &settings());
            let found: Vec<_> = report
                .findings
                .iter()
                .map(|f| (f.rule.name, f.severity))
                .collect();
            assert_eq!(found, [("missing-tone", Severity::Note)], "{chart}");
        }
    }
}
