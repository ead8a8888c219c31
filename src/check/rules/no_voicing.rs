//! A chord that no legal voicing fits.
//!
//! Found in a slot that is to be planned and can't be. Where a given voicing breaks a rule and no other
//! could take its place, the finding about that voicing says so. A melody that
//! leaves no room is no fault: the hand rests under it. The finding
//! names the limits that threw the last candidates out; its fix is the smallest loosening that would
//! do, which has been tried. A step that can't be made as the chart wishes is found here too.

use crate::arrange::Reason;
use crate::chart::Wish;
use crate::check::context::Context;
use crate::check::rule::{Fault, FixKind, Test};
use crate::check::{Rule, Severity};

pub(super) const RULE: Rule = Rule {
    name: "no-voicing",
    severity: Some(Severity::Error),
    also: &[],
    why: "A chord that this hand can't play as wished has to be thought over by a musician.",
    refused: "| Fmaj7 |\nlh | ?with=C3.D3 |",
    accepted: "| Fmaj7 |\nlh | ?with=E3 |",
    mends: false,
    check: Test::Chart(faults),
};

fn faults(context: &Context<'_>) -> Vec<Fault> {
    let slots = context
        .voiced
        .problem
        .slots
        .iter()
        .zip(&context.voiced.legal);
    let stuck = slots.filter_map(|(slot, legal)| {
        let reason = legal.as_ref().err()?;
        let wanted = matches!(slot.wish, Wish::Plan(_));
        wanted.then(|| Fault {
            place: context.symbol_place(slot.index),
            message: reason.to_string(),
            fix: fix(reason),
            violation: None,
            severity: None,
        })
    });
    let step = context.broken.iter().map(|broken| Fault {
        place: context.hand_place(broken.to.index),
        message: broken.to_string(),
        fix: FixKind::Advice(broken.help()),
        violation: None,
        severity: None,
    });
    stuck.chain(step).collect()
}

fn fix(reason: &Reason) -> FixKind {
    match reason {
        Reason::Wishes(unmet) => FixKind::Advice(unmet.help()),
        Reason::Limits(none) => none.loosening.clone().map_or_else(
            || FixKind::Nothing("no loosening of one setting would do".to_owned()),
            FixKind::Loosen,
        ),
    }
}

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::{found, found_under, settings};

    #[test]
    fn wishes_and_limits_may_leave_nothing() {
        let refused = "| Ebmaj7 |\nlh | ?with=Eb3.F3 |";
        assert!(found(refused).contains(&"no-voicing"));
        assert!(!found("| Ebmaj7 |\nlh | ?with=G3 |").contains(&"no-voicing"));
        let mut narrow = settings();
        narrow.arrange.voicing.hand.range = "C3-D3".parse().unwrap();
        let found = found_under("| Fmaj7 |", &narrow);
        assert_eq!(found, ["no-voicing"]);
    }

    #[test]
    fn a_melody_that_leaves_no_room_is_no_fault() {
        for accepted in [
            "| Fmaj7 |\nmel | F3:4 |\nlh | ? |",
            "| Dm7 |\nmel | D3:4 |",
            "| Bb7 |\nmel | C3:4 |\nlh | Ab3.D4 |",
            "| Ebmaj7 |\nmel | D3:4 |\nlh | ?A |",
        ] {
            assert!(!found(accepted).contains(&"no-voicing"), "{accepted}");
        }
    }

    #[test]
    fn a_step_that_cant_be_made_as_wished_is_found() {
        let chart = "| Dm7 | G7 |\nlh | F3.A3.C4.E4 | ?B,leap=0 |";
        assert_eq!(found(chart), ["no-voicing"]);
        assert_eq!(found(&chart.replace("leap=0", "leap=7")), [""; 0]);
    }
}
