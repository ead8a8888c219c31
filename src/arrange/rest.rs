//! Where the hand rests under the melody: nothing fits there, not even two notes.
//!
//! A chart is never refused because of its melody. The hand falls silent, with a warning, where without
//! the melody it would have a voicing. What the limits alone leave without a voicing stays a mistake.

use super::cache::Cache;
use super::choices::{choices, is_in_the_way};
use super::problem::Problem;
use super::settings::Settings;
use super::trouble::Reason;
use crate::chart::{Slot, Wish};
use crate::harmony::HarmonicContext;
use crate::voicing::{Ask, Voicing};

/// Whether it is the melody that leaves no room for the hand in a slot that has no legal voicing.
pub(super) fn leaves_no_room(
    slot: &Slot,
    context: HarmonicContext,
    settings: &Settings,
    cache: &mut Cache,
) -> bool {
    let melody = &settings.melody(slot);
    let ask = slot.symbol.chord().map(|chord| Ask {
        chord,
        context,
        melody,
    });
    ask.is_some_and(|ask| is_in_the_way(&ask, settings, cache))
}

/// Whether the hand rests in a slot with these candidates.
pub(super) fn rests(slot: &Slot, candidates: &[Voicing]) -> bool {
    candidates.is_empty() && slot.is_open()
}

/// Marks the slots silent in which the hand rests under the melody on the page as it is.
pub(crate) fn mark_rests(problem: &mut Problem<'_>, cache: &mut Cache) {
    let settings = problem.settings;
    for (slot, context) in problem.slots.iter_mut().zip(&problem.contexts) {
        let stuck = matches!(
            choices(slot, *context, settings, cache),
            Err(Reason::Limits(_))
        );
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
    fn the_hand_thins_out_under_a_low_melody_and_rests_under_a_lower_one() {
        let (hands, warnings) = told("key: C\n| Dm7 | G7 | Cmaj7 |\nmel | G3:4 | G5:4 | E3:4 |");
        assert_eq!(hands[0], "C3 F3");
        assert_eq!(hands[2], "-");
        assert!(
            warnings.iter().any(|w| w.starts_with("thinned out in bar")),
            "{warnings:?}"
        );
        let rest = "silent in bar 3: the melody leaves no room for the hand";
        assert!(warnings.iter().any(|w| w == rest), "{warnings:?}");
    }

    #[test]
    fn no_chart_is_refused_because_of_its_melody() {
        let wished = told("| Cmaj7 |\nmel | E3:4 |\nlh | ?A |");
        assert_eq!(wished.0, ["-"]);
        // The third has no room: root and seventh are left.
        assert_eq!(told("| Dm7 |\nmel | F#4:4 |").0, ["D3 C4"]);
        assert_eq!(told("| Cdim7 |\nmel | E4:4 |").0, ["-"]);
    }

    #[test]
    fn what_the_melody_is_not_to_blame_for_stays_a_mistake() {
        let mut narrow = Settings::default();
        narrow.voicing.hand.range = "C3-D3".parse().unwrap();
        let chart = read("| Cmaj7 |\nmel | E5:4 |").unwrap();
        let limits = arrange(chart, &narrow, &mut Default::default());
        assert!(matches!(limits, Err(Trouble::Stuck(_))));
    }
}
