//! Which slots were thinned out, and which of them only because the hand does not open that far.

use std::sync::Arc;

use crate::chart::Slot;
use crate::hand::{Hand, Reach};
use crate::voicing::{self, Palette, Voicing, of_palette};

use super::problem::Problem;
use super::warning::Thinner;
use super::wishes::is_choosy;

/// What was thinned out.
#[derive(Debug, Default)]
pub(super) struct Thinned {
    /// The chords that are beyond a measured hand in the first shape, which would have fitted otherwise.
    pub beyond_hand: Vec<Thinner>,
    /// The bars of all others.
    pub bars: Vec<usize>,
}

/// The slots that were thinned out.
pub(super) fn thinned(problem: &Problem<'_>, candidates: &[Arc<Vec<Voicing>>]) -> Thinned {
    let mut thinned = Thinned::default();
    for (slot, found) in problem.slots.iter().zip(candidates) {
        let Some(voicing) = found.first().filter(|voicing| voicing.thinned) else {
            continue;
        };
        if thinned_by_hand(problem, slot) {
            add(slot, voicing.shape_name(), &mut thinned.beyond_hand);
        } else {
            thinned.bars.push(slot.bar);
        }
    }
    thinned.bars.dedup();
    thinned
}

/// Whether the wanted shape would fit a measured hand's slot, if only the hand were larger.
fn thinned_by_hand(problem: &Problem<'_>, slot: &Slot) -> bool {
    let settings = problem.settings;
    // A wish may have asked for another shape: then the hand is not to blame.
    if is_choosy(&slot.wish) || !matches!(settings.voicing.hand.reach, Reach::Span(_)) {
        return false;
    }
    let first = settings.voicing.palette.shapes().iter().copied().take(1);
    let Some((ask, palette)) = problem.ask(slot.index).zip(Palette::of(first.collect())) else {
        return false;
    };
    let boundless = voicing::VoicingSettings {
        hand: Hand {
            reach: Reach::Semitones(Reach::MOST),
            ..settings.voicing.hand.clone()
        },
        palette,
        ..settings.voicing.clone()
    };
    of_palette(&ask, &boundless).is_ok()
}

fn add(slot: &Slot, shape: &'static str, chords: &mut Vec<Thinner>) {
    let symbol = slot.symbol.text();
    let known = chords
        .iter_mut()
        .find(|chord| chord.symbol == symbol && chord.shape == shape);
    match known {
        Some(chord) if chord.bars.last() == Some(&slot.bar) => {}
        Some(chord) => chord.bars.push(slot.bar),
        None => chords.push(Thinner {
            symbol: symbol.to_owned(),
            bars: vec![slot.bar],
            shape,
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arrange::{Cache, Settings, arrange};
    use crate::chart;

    fn warned(hand: &str, palette: &str, body: &str) -> Vec<String> {
        let mut settings = Settings::default();
        settings.voicing.hand.reach = Reach::of_hand(hand).unwrap();
        settings.voicing.palette = palette.parse().unwrap();
        let chart = chart::read(&format!("title: Small hands\nkey: C\n{body}\n")).unwrap();
        let arrangement = arrange(chart, &settings, &mut Cache::default()).unwrap();
        arrangement
            .warnings
            .iter()
            .map(ToString::to_string)
            .collect()
    }

    const DEFAULT: &str = "rootless,three-note,guide-tones,block";

    #[test]
    fn a_small_hand_is_told_which_chords_are_thinned_out_and_to_what() {
        let body = "| F6/9 | G6/9 | C6/9 | C6/9 F6/9 |";
        let small = warned("145mm", "rootless,guide-tones", body);
        assert_eq!(small.len(), 1, "{small:?}");
        let list = "beyond a hand of 145 mm as rootless: F6/9 in bars 1, 4 (guide-tones instead), \
                    G6/9 in bar 2 (guide-tones instead), C6/9 in bars 3, 4 (guide-tones instead). ";
        assert!(small[0].starts_with(list), "{small:?}");
        assert!(small[0].contains("Stop when it hurts"));
        // One millimetre more spans a seventh on white keys: 141.0 mm and the margin.
        assert_eq!(warned("146mm", "rootless,guide-tones", body), [""; 0]);
    }

    #[test]
    fn what_the_hand_is_not_to_blame_for_is_listed_apart() {
        let low = warned("200mm", DEFAULT, "| Dm7 | G7 |\nmel | G3:4 | G5:4 |");
        assert_eq!(
            low,
            ["thinned out in bar 1: no rootless voicing fits there"]
        );
        // A power chord has no rootless shape to be thinned out from.
        assert_eq!(warned("200mm", DEFAULT, "| C5 | Dm7 |"), [""; 0]);
        assert_eq!(warned("200mm", DEFAULT, "| Dm7 | G7 | Cmaj7 |"), [""; 0]);
    }

    #[test]
    fn a_reach_in_semitones_is_no_fault_of_the_hand() {
        let body = "| F6/9 | G6/9 |";
        let mut settings = Settings::default();
        settings.voicing.hand.reach = Reach::Semitones(8);
        settings.voicing.palette = "rootless,guide-tones".parse().unwrap();
        let chart = chart::read(body).unwrap();
        let arrangement = arrange(chart, &settings, &mut Cache::default()).unwrap();
        let told: Vec<String> = arrangement
            .warnings
            .iter()
            .map(ToString::to_string)
            .collect();
        assert_eq!(
            told,
            ["thinned out in bars 1, 2: no rootless voicing fits there"]
        );
    }

    #[test]
    fn a_given_voicing_beyond_the_hand_is_held_with_the_caution() {
        let held = warned("200mm", DEFAULT, "   | C7 |\nlh | C3.Bb3.E4 |");
        let [breaks, caution] = &held[..] else {
            panic!("{held:?}");
        };
        assert!(
            breaks.ends_with("C3 to E4 would need a hand of 216 mm"),
            "{breaks}"
        );
        assert!(caution.starts_with("Wide stretches can hurt a hand."));
    }

    #[test]
    fn a_large_hand_is_only_cautioned() {
        let told = warned("230mm", DEFAULT, "| Dm7 | G7 |");
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(told[0].starts_with("Wide stretches can hurt a hand."));
    }
}
