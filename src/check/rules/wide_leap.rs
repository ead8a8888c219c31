//! A note leaps further than is wished for the whole tune.
//!
//! The rule asks nothing unless a leap is set: how far a note may leap is a matter of taste, and no
//! text gives a number. What is measured is how far the note travels that travels furthest, as the
//! planner measures it. Only steps between two given voicings are held against it: whatever is still to be planned will be
//! planned within the leap.

use super::beyond;
use crate::check::motion_faults::MotionFaults;
use crate::check::rule::{Fault, Test};
use crate::check::step_repair::GivenStep;
use crate::check::{Rule, Severity};

pub(super) const RULE: Rule = Rule {
    name: "wide-leap",
    severity: Some(Severity::Error),
    also: &[],
    why: "A finger that jumps across the keyboard is heard, and missed, more easily than one that steps.",
    refused: "| Fm7 | Bb7 |\nlh | Eb3.G3.Ab3.C4 | D4.F4.Ab4 |",
    accepted: "| Fm7 | Bb7 |\nlh | Eb3.G3.Ab3.C4 | D3.F3.Ab3 |",
    mends: true,
    check: Test::Motion(faults),
};

fn faults(found: &MotionFaults<'_>) -> Vec<Fault> {
    let most = found.motion.context.settings.arrange.leap;
    let far = |step: &GivenStep| step.taken.largest;
    beyond(&found.motion, &found.leaps, most, far, "a note leaps")
}

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::{found, found_under, in_every_key, settings};

    #[test]
    fn every_key_alike() {
        let refused = "| Fm7 | Bb7 |\nlh | Eb3.G3.Ab3.C4 | D4.F4.Ab4 |";
        in_every_key("wide-leap", refused, true);
        let accepted = "| Fm7 | Bb7 |\nlh | Eb3.G3.Ab3.C4 | D3.F3.Ab3 |";
        in_every_key("wide-leap", accepted, false);
    }

    #[test]
    fn without_a_leap_set_nothing_is_held_against_anybody() {
        let mut settings = settings();
        settings.arrange.leap = None;
        let chart = "| Fm7 | Bb7 |\nlh | Eb3.Ab3 | D4.Ab4 |";
        assert_eq!(found_under(chart, &settings), [""; 0]);
        assert_eq!(found(chart), ["wide-leap"]);
    }

    #[test]
    fn the_way_back_in_a_repeat_is_a_step_and_silence_is_none() {
        assert_eq!(found("|: Fm7 | Fm7 :|\nlh | Eb3.Ab3 | Ab3.Eb4 |"), [""; 0]);
        assert_eq!(
            found("| Fm7 | N.C. | Fm7 |\nlh | Eb3.Ab3 | - | Eb4.Ab4 |"),
            ["wide-leap"]
        );
        let around = "|: Fm7 | Fm7 | Fm7 :|\nlh | Eb3.Ab3 | Ab3.Eb4 | Eb4.Ab4 |";
        assert_eq!(found(around), ["wide-leap"]);
        assert_eq!(
            found(&around.replace("|:", "| ").replace(":|", " |")),
            [""; 0]
        );
    }
}
