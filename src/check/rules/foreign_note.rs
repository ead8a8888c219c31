//! A note that is no tone of the chord, no tension it takes, and in none of the program's shapes of it.
//!
//! What the chord avoids is the affair of `avoid-note`, so that a note is found once. A colour that players
//! give the chord unasked is a note: see [`Strange::Colour`].

use super::few;
use super::strange_notes::{Strange, strange_notes};
use crate::check::context::Context;
use crate::check::rule::{Fault, FixKind, Test};
use crate::check::{Rule, Severity};

pub(super) const RULE: Rule = Rule {
    name: "foreign-note",
    severity: Some(Severity::Error),
    also: &[(
        Severity::Note,
        "a maj7 on a triad or a sixth chord, a b7 on a triad on I or IV",
    )],
    why: "A note that belongs to another chord makes it another chord.",
    refused: "| Fm7 |\nlh | Ab3.A3.Eb4 |",
    accepted: "| Fm7 |\nlh | G3.Ab3.Eb4 |",
    mends: true,
    check: Test::Chart(faults),
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    let each = context.given().filter_map(|(slot, voicing)| {
        let symbol = context.voiced.problem.slots.get(slot)?.symbol.text();
        let mut strange = strange_notes(context, slot, voicing);
        strange.retain(|(_, kind)| *kind != Strange::Avoided);
        let colours = strange.iter().all(|(_, kind)| *kind == Strange::Colour);
        if !colours {
            strange.retain(|(_, kind)| *kind == Strange::Foreign);
        }
        let words = strange.iter().map(|(note, _)| match colours {
            true => format!(
                "{}, the {}, is not in {symbol}, though players add it",
                note.note, note.degree
            ),
            false => format!("{}, the {}, is foreign to {symbol}", note.note, note.degree),
        });
        (!strange.is_empty()).then(|| Fault {
            place: context.hand_place(slot),
            message: few(words),
            fix: match colours {
                true => {
                    FixKind::Advice("it may stay; a symbol that names it would say so".to_owned())
                }
                false => FixKind::Slot(slot),
            },
            violation: None,
            severity: colours.then_some(Severity::Note),
        })
    });
    each.collect()
}

#[cfg(test)]
mod tests {
    use crate::check::Severity;
    use crate::check::rules::tests::{found as names, in_all_keys, report, settings};

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "foreign-note",
            &[
                "| Fm7 |\nlh | Ab3.A3.Eb4 |",
                "| Cmaj7 |\nlh | E3.Bb3.B3 |",
                "| G7 |\nlh | F3.F#3.B3 |",
            ],
            &[
                "| Fm7 |\nlh | G3.Ab3.Eb4 |",
                "| Cmaj7 |\nlh | E3.A3.B3 |",
                "| G7 |\nlh | F3.Ab3.B3 |",
                "| C |\nlh | E3.A3.D4 |",
                "| C/Bb |\nlh | E3.G3.Bb3 |",
            ],
        );
    }

    #[test]
    fn an_avoid_note_is_found_once() {
        let found = crate::check::rules::tests::found("| Cmaj7 |\nlh | E3.F3.B3 |");
        assert_eq!(found, ["avoid-note"]);
    }

    #[test]
    fn what_players_add_is_a_note() {
        // A natural 9 over a half-diminished chord is one of the program's own colours.
        let ninth = report("| Dm7b5 |\nlh | F3.Ab3.C4.E4 |", &settings());
        assert_eq!(ninth.findings, []);
        for (chart, severity) in [
            ("| C |\nlh | E3.G3.B3.D4 |", Severity::Note),
            ("| C6 |\nlh | E3.A3.B3 |", Severity::Note),
            ("| Cm |\nlh | Eb3.G3.B3 |", Severity::Note),
            ("| Ddim7 |\nlh | F3.Ab3.Bb3 |", Severity::Error),
            ("| C |\nlh | E3.G3.B3.C#4 |", Severity::Error),
            // The b7 on I and IV; on V the key has it.
            ("key: C\n| C |\nlh | E3.G3.Bb3.C4 |", Severity::Note),
            ("key: C\n| F | C |\nlh | Eb3.F3.A3.C4 | ? |", Severity::Note),
        ] {
            let report = report(chart, &settings());
            let found: Vec<_> = report.findings.iter().map(|f| f.severity).collect();
            assert_eq!(found, [severity], "{chart}: {:?}", report.findings);
        }
        let on_the_fifth = "key: C\n| G | C |\nlh | F3.G3.B3.D4 | E3.G3.C4 |";
        assert!(!names(on_the_fifth).contains(&"foreign-note"));
    }
}
