//! The page cut at its seams.

use std::ops::Range;

use crate::chart::{Performance, Slot, Wish};

/// The stretches of a page in which chords may be replaced: slots in a row that are always played in
/// this order and one after the other, with nothing between them.
///
/// A stretch ends at a repeat sign, an ending or a jump, at a silence, and before a slot in which the
/// chart itself asks for something (given notes, a wish): what the arranger has settled stays. Slots
/// that are never played are in none.
pub fn stretches(slots: &[Slot], performance: &Performance) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for (at, _) in slots.iter().enumerate().filter(|(_, slot)| is_open(slot)) {
        let goes_on = at
            .checked_sub(1)
            .is_some_and(|from| performance.joins(from, at));
        match found.last_mut().filter(|last| last.end == at && goes_on) {
            Some(last) => last.end = at + 1,
            None if performance.times(at) > 0 => found.push(at..at + 1),
            None => {}
        }
    }
    found
}

/// Whether nothing but its symbol is settled in a slot.
fn is_open(slot: &Slot) -> bool {
    slot.symbol.chord().is_some() && slot.wish == Wish::PLAN
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    fn cut(text: &str) -> Vec<Range<usize>> {
        let chart = read(text).unwrap();
        let slots = chart.slots();
        let performance = chart.performance(&slots, false).unwrap();
        stretches(&slots, &performance)
    }

    #[test]
    fn a_straight_page_is_one_stretch() {
        assert_eq!(cut("| Dm7 G7 | C6 | % |"), vec![Range { start: 0, end: 4 }]);
    }

    #[test]
    fn repeats_endings_and_jumps_are_seams() {
        assert_eq!(cut("|: Dm7 | G7 :| C6 |"), [0..2, 2..3]);
        assert_eq!(cut("|: Dm7 |1 G7 :|2 C6 | F6 |"), [0..1, 1..2, 2..4]);
        assert_eq!(
            cut("[A]\n| Dm7 @fine | G7 | C6 @dc-al-fine |"),
            [0..1, 1..3]
        );
    }

    #[test]
    fn silence_and_what_is_settled_are_left_out() {
        assert_eq!(cut("| Dm7 | N.C. | G7 | C6 |"), [0..1, 2..4]);
        let given = "| Dm7 | G7 | C6 | F6 |\nlh | ? | F3.B3 | ? | ?A |";
        assert_eq!(cut(given), [0..1, 2..3]);
    }
}
