//! The top note moves further than is wished for the whole tune.
//!
//! Asks nothing unless a wish for the top note is set. As with leaps, only steps between two given
//! voicings are held against it.

use super::{given_steps, named};
use crate::chart::TopWish;
use crate::check::rule::{Cure, Fault};
use crate::check::subject::Subject;
use crate::check::{Rule, Severity};

pub(super) const RULE: Rule = Rule {
    name: "top-line",
    severity: Some(Severity::Error),
    why: "The top note of the hand is heard as a line of its own, and a line goes by steps.",
    refused: "| Fm7 | Bb7 |\nlh | Eb3.G3.Ab3.C4 | D3.Ab3 |",
    accepted: "| Fm7 | Bb7 |\nlh | Eb3.G3.Ab3.C4 | D3.G3.Ab3.C4 |",
    mends: true,
    check: faults,
};

fn faults(subject: &Subject<'_>) -> Vec<Fault> {
    let most = subject.settings.arrange.top.and_then(TopWish::semitones);
    let Some(most) = most else {
        return Vec::new();
    };
    given_steps(subject)
        .filter(|step| step.top > most)
        .map(|step| Fault {
            place: subject.hand_place(step.to),
            message: format!(
                "the top note moves {} semitones from {}: not more than {most} are wished",
                step.top,
                named(subject, step.from)
            ),
            cure: Cure::Step(step.from, step.to),
            breach: None,
            severity: None,
        })
        .collect()
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
