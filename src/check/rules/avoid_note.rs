//! A note that the chord avoids: the natural 11 over a major third and its like, unless the symbol asks for it. And what
//! the chord avoids where it stands, as `harmony` lists it: the b13 of a iii.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use super::strange_notes::{Strange, strange_notes};
use super::{few, violating};
use crate::check::context::Context;
use crate::check::rule::{Fault, FixKind, Test};
use crate::check::{Rule, Severity};
use crate::hand::Violation;

pub(super) const RULE: Rule = Rule {
    name: "avoid-note",
    severity: Some(Severity::Warning),
    also: &[],
    why: "A half step above a tone of the chord, held, makes it sound like another chord or like a slip.",
    refused: "| Cmaj7 |\nlh | E3.F3.B3 |",
    accepted: "| Cmaj7 |\nlh | E3.G3.B3 |",
    mends: true,
    check: Test::Chart(faults),
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    let mut all = violating(context, |violation| {
        matches!(
            violation,
            Violation::Avoid(_) | Violation::EleventhOverThird
        )
    });
    for (slot, voicing) in context.given() {
        let strange = strange_notes(context, slot, voicing).into_iter();
        let avoided = strange.filter(|(_, kind)| *kind == Strange::Avoided);
        let words: Vec<String> = avoided
            .map(|(note, _)| format!("{} is a note this chord avoids here", note.degree))
            .collect();
        if words.is_empty() {
            continue;
        }
        let place = context.hand_place(slot);
        match all.iter_mut().find(|fault| fault.place == place) {
            Some(fault) => fault.message = format!("{}; {}", fault.message, few(words.into_iter())),
            None => all.push(Fault {
                place,
                message: few(words.into_iter()),
                fix: FixKind::Slot(slot),
                violation: None,
                severity: None,
            }),
        }
    }
    all
}

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

    #[test]
    fn what_harmony_lists_to_avoid_is_avoided_and_not_foreign() {
        let found = crate::check::rules::tests::found;
        let chart = "key: C\n| Cmaj7 | Em7 | A7 | Dm7 |\nlh | E3.G3.B3.D4 | G3.C4.D4 | ? | ? |";
        assert_eq!(found(chart), ["avoid-note"]);
    }
}
