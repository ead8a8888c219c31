//! A hand that moves much more than the best plan would.
//!
//! The effort of the whole performance as given, motion and surcharges, (what is still to be planned is planned around it) is held against
//! the best plan there is with everything freed, under the same settings. How much more is allowed is
//! an [`Allowance`](crate::check::Allowance). The finding is about the whole chart, since no single voicing is to blame;
//! its fix names the voicings that would have to change.

use crate::check::context::Context;
use crate::check::rule::{Fault, FixKind};
use crate::check::{FindingPlace, Rule, Severity};

pub(super) const RULE: Rule = Rule {
    name: "restless-hand",
    severity: Some(Severity::Warning),
    why: "A hand that travels draws the ear from the melody and leaves the player less time to place it.",
    refused: "| Fm7 | Bb7 | Fm7 | Bb7 |\nlh | Ab3.C4.Eb4.G4 | D3.G3.Ab3.C4 | Ab3.C4.Eb4.G4 | D3.G3.Ab3.C4 |",
    accepted: "| Fm7 | Bb7 | Fm7 | Bb7 |\nlh | Eb3.G3.Ab3.C4 | D3.G3.Ab3.C4 | Eb3.G3.Ab3.C4 | D3.G3.Ab3.C4 |",
    mends: true,
    check: faults,
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    let (Some(given), Some((_, best))) = (&context.as_given, &context.best) else {
        return Vec::new();
    };
    let allowance = context.settings.restless;
    // Where a plan isn't proved the least, its hand is given the benefit of the doubt.
    let makes = given.lower_bound.effort;
    if makes <= allowance.most(best.cost.effort) {
        return Vec::new();
    }
    let best = best.cost.effort;
    vec![Fault {
        place: FindingPlace::chart(None),
        message: format!(
            "the hand makes an effort of {makes} where {best} would do: {} more",
            makes - best
        ),
        fix: FixKind::Restless,
        violation: None,
        severity: None,
    }]
}

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::{found_under, in_every_key, settings};
    use crate::check::{Allowance, Severity};

    #[test]
    fn every_key_alike() {
        in_every_key("restless-hand", super::RULE.refused, true);
        in_every_key("restless-hand", super::RULE.accepted, false);
    }

    #[test]
    fn both_halves_of_the_allowance_hold() {
        let mut settings = settings();
        settings.arrange.leap = None;
        settings.set("restless-hand", Some(Severity::Note)).unwrap();
        let mut with = |numerator, semitones| {
            settings.restless = Allowance {
                numerator,
                denominator: 1,
                semitones,
            };
            found_under(super::RULE.refused, &settings).contains(&"restless-hand")
        };
        assert!(with(1, 0) && with(2, 5));
        assert!(!with(1, 1000) && !with(1000, 0));
    }
}
