//! The table counted in printed keyboard parts.

use super::{LimitTable, Provenance, WIDEST};

/// MIDI numbers, minor second to major tenth; 0 for none.
const FLOORS: [u8; WIDEST as usize] = [0, 49, 48, 46, 43, 46, 36, 42, 42, 41, 40, 0, 0, 36, 33, 34];

/// Limits counted in open scores: for each interval the highest key with at most 2 % of the pairs
/// struck below it.
///
/// The scores are 1,440 keyboard parts by 126 composers in the OpenScore Lieder corpus (CC0, commit
/// bca1224), 1.15 million struck notes; a pair is two notes struck together on one staff, and ties, grace
/// and cue notes are left out. The 2 % is set by the two textbook numbers that were read in print: 1.71 %
/// of the minor thirds lie below C3, 2.05 % of the major sevenths below F2. Minor seconds (1,193 pairs) and
/// minor ninths (405) are too few to count, an octave has no limit. A count cannot see what is avoided
/// everywhere, and the songs are of the nineteenth century: evidence of the ear, not of the style.
pub fn scores() -> LimitTable {
    LimitTable::numbered("scores", FLOORS, Provenance::Counted)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hand::limits::handbook;

    /// The count gives the textbook's third, sevenths and tenth exactly, and no number of it is further
    /// off than three semitones, but for the fifth and the intervals that a count can't see.
    #[test]
    fn the_count_bears_the_textbook_out() {
        let floor = |table: &LimitTable, gap| table.floor(gap).unwrap().midi();
        let (counted, taught) = (scores(), handbook());
        for gap in [3, 4, 10, 16] {
            assert_eq!(floor(&counted, gap), floor(&taught, gap), "{gap}");
        }
        for gap in [2, 5, 6, 7, 8, 9, 11, 14, 15] {
            let off = floor(&counted, gap).abs_diff(floor(&taught, gap));
            assert!(off <= 3, "{gap}: {off}");
        }
        assert!([1, 12, 13].iter().all(|gap| counted.floor(*gap).is_none()));
    }
}
