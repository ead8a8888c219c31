//! The top note moves further than is wished for the whole tune.
//!
//! Asks nothing unless a wish for the top note is set. As with leaps, only steps between two given
//! voicings are held against it.

use super::beyond;
use crate::chart::TopWish;
use crate::check::motion_faults::MotionFaults;
use crate::check::rule::{Fault, Test};
use crate::check::{Rule, Severity};

pub(super) const RULE: Rule = Rule {
    name: "top-line",
    severity: Some(Severity::Error),
    also: &[],
    why: "The top note of the hand is heard as a line of its own, and a line goes by steps.",
    refused: "| Fm7 | Bb7 |\nlh | Eb3.G3.Ab3.C4 | D3.Ab3 |",
    accepted: "| Fm7 | Bb7 |\nlh | Eb3.G3.Ab3.C4 | D3.G3.Ab3.C4 |",
    mends: true,
    check: Test::Motion(faults),
};

fn faults(found: &MotionFaults<'_>) -> Vec<Fault> {
    let wished = &found.motion.context.settings.arrange;
    let most = wished.top.and_then(TopWish::semitones);
    let top = "the top note moves";
    beyond(&found.motion, &found.top_moves, most, |step| step.top, top)
}

#[cfg(test)]
mod tests {
    use crate::check::rules::tests::{found_under, in_every_key, settings};

    #[test]
    fn every_key_alike() {
        in_every_key("top-line", super::RULE.refused, true);
        in_every_key("top-line", super::RULE.accepted, false);
    }

    #[test]
    fn without_a_wish_nothing_is_held_against_anybody() {
        let mut settings = settings();
        settings.arrange.top = None;
        assert_eq!(found_under(super::RULE.refused, &settings), [""; 0]);
    }
}
