//! Which replacements may stand beside each other.
//!
//! What a replacement is charged and the reason it is proposed for are told beside the page as it is: `D7 leads
//! into Gm7` holds while Gm7 stands there. So a replacement that begins with another chord than the written one
//! doesn't follow at once on another replacement. One that keeps the written chord, at its beginning or after a
//! chord on the same root that holds it back, may. Charges then simply add up: no link is counted that isn't
//! there.

use crate::chart::{Performance, Replacement, Slot};
use crate::chord::Chord;

/// Whether a replacement leaves the chord that is written at its beginning where what comes before leads to it.
pub(super) fn keeps_its_first(replacement: &Replacement, slots: &[Slot]) -> bool {
    let slot = slots.get(replacement.slots.start);
    let written = slot.and_then(|slot| Some((slot, slot.symbol.chord()?)));
    let Some((slot, written)) = written else {
        return false;
    };
    let here = replacement.chords.iter().filter(|new| new.bar == slot.bar);
    let mut on_root = here.take_while(|new| has_root_and_bass_of(written, &new.chord));
    on_root.any(|new| new.chord.symbol() == written.symbol())
}

/// Whether two replacements can't be taken together, the second following at once on the first.
pub(super) fn breaks(
    first: &Replacement,
    second: &Replacement,
    slots: &[Slot],
    performance: &Performance,
) -> bool {
    let at = second.slots.start;
    let follows = first.slots.end == at && !first.slots.is_empty();
    follows && performance.joins(at - 1, at) && !keeps_its_first(second, slots)
}

fn has_root_and_bass_of(written: &Chord, new: &Chord) -> bool {
    let root = |chord: &Chord| chord.root().class();
    let bass = |chord: &Chord| chord.lowest().class();
    root(written) == root(new) && bass(written) == bass(new)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Beats, NewChord, read};

    /// Of these chords, a beat each, in place of the second bar, which another replacement stands before.
    fn broken(page: &str, symbols: &[&str]) -> bool {
        let chart = read(page).unwrap();
        let slots = chart.slots();
        let performance = chart.performance(&slots, false).unwrap();
        let new = (1..).zip(symbols).map(|(beat, symbol)| NewChord {
            bar: 2,
            beat: Beats::whole(beat),
            beats: Beats::whole(1),
            chord: Chord::read(symbol).unwrap(),
        });
        let before = Replacement {
            slots: 0..1,
            chords: Vec::new(),
        };
        let second = Replacement {
            slots: 1..2,
            chords: new.collect(),
        };
        breaks(&before, &second, &slots, &performance)
    }

    #[test]
    fn what_the_one_leads_to_the_other_may_delay_but_not_take() {
        let page = "| D7 | Gm7 | C7 |";
        for (symbols, wanted) in [
            (&["Gm7", "Db7"][..], false),
            (&["Gdim7", "Gm7"], false),
            (&["Gm7b5"], true),
            (&["Db7"], true),
            (&["Dm7", "Gm7"], true),
            (&["Gm7/D", "Gm7"], true),
            (&["G7", "Dm7", "Gm7"], true),
        ] {
            assert_eq!(broken(page, symbols), wanted, "{symbols:?}");
        }
        // Beyond a seam nothing is promised.
        assert!(!broken("|: D7 :| Gm7 | C7 |", &["Db7"]));
    }
}
