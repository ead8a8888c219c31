//! Something that the symbol names is silent while something that it doesn't name sounds.
//!
//! Third and seventh don't count as either: 3 and b7 alone are always enough.
//!
//! What is refused, and the nearest that is accepted, stand in the rule itself and are tested.

use super::{is_shell_of_two, violating};
use crate::check::context::Context;
use crate::check::rule::{Fault, Test};
use crate::check::{Rule, Severity};
use crate::hand::Violation;
use crate::pitch::Degree;

pub(super) const RULE: Rule = Rule {
    name: "unsaid-tone",
    severity: Some(Severity::Warning),
    also: &[(Severity::Note, "a shell of two notes")],
    why: "What the symbol names comes first: a tone it doesn't name takes the place of one that the reader was promised.",
    refused: "| F7b9 |\nlh | A3.C4.Eb4 |",
    accepted: "| F7b9 |\nlh | A3.Eb4.Gb4 |",
    mends: true,
    check: Test::Chart(faults),
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    let mut all = violating(context, |violation| {
        matches!(violation, Violation::ImpliedBeforeNamed { .. })
    });
    let in_shell = |fault: &Fault| {
        let given = fault.place.slot.and_then(|slot| context.voicing(slot));
        given.is_some_and(is_shell_of_two)
    };
    // What is silent is found once: where third, seventh or what tells a triad is missing, for that.
    all.retain(|fault| {
        let slot = fault.place.slot;
        let violations = slot.map_or(&[][..], |slot| context.violations(slot));
        !is_found_silent(violations, in_shell(fault))
    });
    all.iter_mut()
        .filter(|fault| in_shell(fault))
        .for_each(Fault::let_stay);
    all
}

/// Whether a tone that the symbol names is found as missing anyway: in a shell of two notes any.
fn is_found_silent(violations: &[Violation], in_shell: bool) -> bool {
    let missing = |named: Degree| {
        let mut all = violations.iter();
        all.any(|violation| *violation == Violation::Silent(named))
    };
    let any = || {
        let mut all = violations.iter();
        all.any(|violation| matches!(violation, Violation::Silent(_)))
    };
    let mut named = violations.iter().filter_map(|violation| match violation {
        Violation::ImpliedBeforeNamed { silent, .. } => Some(*silent),
        _ => None,
    });
    in_shell && any() || named.all(missing)
}

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::{found, in_all_keys};

    #[test]
    fn one_silent_tone_is_found_once() {
        assert_eq!(
            found("| C+ |\nlh | C3.E3.G3 |"),
            ["missing-tone", "foreign-note"]
        );
    }

    #[test]
    fn every_key_alike() {
        in_all_keys(
            "unsaid-tone",
            &[
                "| F7b9 |\nlh | A3.C4.Eb4 |",
                "| C9 |\nlh | C4.E4.Bb4 |",
                "| G13 |\nlh | F3.B3.D4 |",
            ],
            &[
                "| F7b9 |\nlh | A3.Eb4.Gb4 |",
                "| C9 |\nlh | E4.Bb4 |",
                "| G13 |\nlh | F3.B3.E4 |",
            ],
        );
    }
}
