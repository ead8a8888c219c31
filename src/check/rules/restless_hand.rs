//! A hand that moves more than it need.
//!
//! Two things are found. A voicing, or a few in a row, for which the hand goes out of its way: each is
//! judged by its price, what it costs in motion against its best alternative with everything else held;
//! how much that may be is [`RuleSettings::detour`](crate::check::RuleSettings::detour). Up to an octave in all it is a note. And a whole hand
//! that still makes much more effort than the best plan under the same settings; how much more is
//! allowed is an [`Allowance`](crate::check::Allowance). That finding is about the whole chart, since no single voicing is to
//! blame; its fix names the voicings that would have to change.

use crate::check::detour::Detour;
use crate::check::motion::Motion;
use crate::check::motion_faults::MotionFaults;
use crate::check::rule::{Fault, FixKind, Test};
use crate::check::{FindingPlace, Rule, Severity};
use crate::words::counted;

pub(super) const RULE: Rule = Rule {
    name: "restless-hand",
    severity: Some(Severity::Warning),
    also: &[(
        Severity::Note,
        "one voicing that costs an octave of motion or less",
    )],
    why: "A hand that travels draws the ear from the melody and leaves the player less time to place it.",
    refused: "| Fm7 | Bb7 | Fm7 | Bb7 |\nlh | Ab3.C4.Eb4.G4 | D3.G3.Ab3.C4 | Ab3.C4.Eb4.G4 | D3.G3.Ab3.C4 |",
    accepted: "| Fm7 | Bb7 | Fm7 | Bb7 |\nlh | Eb3.G3.Ab3.C4 | D3.G3.Ab3.C4 | Eb3.G3.Ab3.C4 | D3.G3.Ab3.C4 |",
    mends: true,
    check: Test::Motion(faults),
};

/// A detour of so many semitones each time it is played, or fewer, is a note.
const OCTAVE: u64 = 12;

fn faults(found: &MotionFaults<'_>) -> Vec<Fault> {
    let detours = found.detours.iter();
    let detours = detours.map(|detour| of_detour(&found.motion, detour));
    detours.chain(of_the_whole(found)).collect()
}

fn of_detour(motion: &Motion<'_>, detour: &Detour) -> Fault {
    let Detour {
        saved, times, last, ..
    } = *detour;
    let slots = &motion.context.voiced.problem.slots;
    let until = slots.get(last).filter(|_| last > detour.slot);
    let until = until.map_or_else(String::new, |slot| {
        format!("from here to {} in bar {} ", slot.symbol.text(), slot.bar)
    });
    let each = saved / times.max(1);
    let semitones = counted(saved, "semitone");
    let played = match times {
        0 | 1 => String::new(),
        2 => ", played twice".to_owned(),
        many => format!(", played {many} times"),
    };
    Fault {
        place: motion.context.hand_place(detour.slot),
        message: format!("{until}the hand goes {semitones} out of its way{played}"),
        fix: FixKind::Voicings(detour.voicings.clone()),
        violation: None,
        severity: (each <= OCTAVE).then_some(Severity::Note),
    }
}

fn of_the_whole(found: &MotionFaults<'_>) -> Option<Fault> {
    let motion = &found.motion;
    let (given, (_, best)) = (motion.context.as_given?, motion.best.as_ref()?);
    // Where a plan isn't proved the least, its hand is given the benefit of the doubt.
    let unproved = given.cost.effort - given.lower_bound.effort;
    let makes = found.calmed.saturating_sub(unproved);
    // A hand that moves no further than the best plan may lie low, but isn't restless.
    if given.motion() <= best.motion() {
        return None;
    }
    let best = best.cost.effort;
    (makes > motion.context.settings.restless.most(best)).then(|| Fault {
        place: FindingPlace::chart(None),
        message: format!(
            "the hand makes an effort of {makes} where {best} would do: {} more",
            makes - best
        ),
        fix: FixKind::Restless,
        violation: None,
        severity: None,
    })
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
        settings.detour = u32::MAX;
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
