//! Where the hand rests under the melody: it dips so low that nothing fits under it.
//!
//! The hand then falls silent and leaves the low register to the melody, with a warning. It does so only
//! in a slot of which the chart says nothing, and only where the melody is what stands in the way: every
//! voicing there would be without it reaches up to its lowest note. What the limits or a wish leave
//! without a voicing stays a mistake.

use super::choices::choices;
use super::{Cache, Problem, Settings};
use crate::chart::{Slot, Wish};
use crate::harmony::Place;
use crate::voicing::Voicing;

/// Whether it is the melody that leaves no room for the hand in a slot that has no legal voicing.
pub(super) fn leaves_no_room(
    slot: &Slot,
    context: Place,
    settings: &Settings,
    cache: &mut Cache,
) -> bool {
    let lowest = settings.melody(slot).iter().min();
    let Some(&lowest) = lowest.filter(|_| slot.wish == Wish::PLAN) else {
        return false;
    };
    let without_melody = Settings {
        ignore_melody: true,
        ..settings.clone()
    };
    let reaches = |voicing: &Voicing| voicing.pitches().max() >= Some(lowest);
    choices(slot, context, &without_melody, cache).is_ok_and(|found| found.iter().all(reaches))
}

/// Whether the hand rests in a slot with these candidates.
pub(super) fn rests(slot: &Slot, candidates: &[Voicing]) -> bool {
    candidates.is_empty() && slot.wish == Wish::PLAN && slot.symbol.chord().is_some()
}

/// Marks the slots silent in which the hand rests under the melody on the page as it is.
pub(crate) fn mark_rests(problem: &mut Problem<'_>, cache: &mut Cache) {
    let settings = problem.settings;
    for (slot, context) in problem.slots.iter_mut().zip(&problem.contexts) {
        let stuck = choices(slot, *context, settings, cache).is_err();
        if stuck && leaves_no_room(slot, *context, settings, cache) {
            slot.wish = Wish::Silent;
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::arrange::{Arrangement, Settings, Trouble, arrange};
    use crate::chart::read;

    fn played(text: &str) -> Result<Arrangement, Trouble> {
        arrange(
            read(text).unwrap(),
            &Settings::default(),
            &mut Default::default(),
        )
    }

    /// What each bar's hand plays, and what is warned of.
    fn told(text: &str) -> (Vec<String>, Vec<String>) {
        let arrangement = played(text).unwrap();
        let hands = arrangement.slots.iter().map(|slot| {
            let voicing = slot.voicing.as_ref();
            voicing.map_or("-".to_owned(), ToString::to_string)
        });
        let warnings = arrangement.warnings.iter().map(ToString::to_string);
        (hands.collect(), warnings.collect())
    }

    #[test]
    fn the_hand_thins_out_under_a_low_tune_and_makes_way_for_a_lower_one() {
        let (hands, warnings) = told("key: C\n| Dm7 | G7 | Cmaj7 |\nmel | G3:4 | G5:4 | E3:4 |");
        assert_eq!(hands[0], "C3 F3");
        assert_eq!(hands[2], "-");
        assert!(
            warnings.iter().any(|w| w.starts_with("thinned out in bar")),
            "{warnings:?}"
        );
        let way = "silent in bar 3: the melody dips so low that nothing fits under it";
        assert!(warnings.iter().any(|w| w == way), "{warnings:?}");
    }

    #[test]
    fn what_the_tune_is_not_to_blame_for_stays_a_mistake() {
        let wished = played("| Cmaj7 |\nmel | E3:4 |\nlh | ?A |");
        assert!(matches!(wished, Err(Trouble::Stuck(_))));
        let mut narrow = Settings::default();
        narrow.voicing.hand.range = "C3-D3".parse().unwrap();
        let chart = read("| Cmaj7 |\nmel | E5:4 |").unwrap();
        let limits = arrange(chart, &narrow, &mut Default::default());
        assert!(matches!(limits, Err(Trouble::Stuck(_))));
    }
}
