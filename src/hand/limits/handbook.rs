//! The arranging-textbook table.

use super::{LimitTable, Provenance, WIDEST};

/// MIDI numbers, minor second to major tenth; 0 for none.
const FLOORS: [u8; WIDEST as usize] = [
    52, 51, 48, 46, 46, 47, 34, 41, 41, 41, 41, 0, 40, 39, 36, 34,
];

/// The limits arranging classes teach (the tradition of Lowell & Pullig, *Arranging for Large Jazz
/// Ensemble*, 2003, sect. 1-4).
///
/// Only the minor third (C3) and the major seventh (F2) were read in print; every other number is
/// from memory. The tritone is the least certain, and some charts also give Bb2 for it and G2 for
/// the minor sixth.
pub fn handbook() -> LimitTable {
    let mut table = LimitTable::numbered("handbook", FLOORS, Provenance::Memory);
    for (interval, provenance) in [
        (3, Provenance::Read),
        (6, Provenance::LeastCertain),
        (11, Provenance::Read),
    ] {
        if let Some(limit) = table.limits.get_mut(interval - 1) {
            limit.provenance = provenance;
        }
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_numbers_that_were_read_say_so() {
        let read: Vec<_> = handbook()
            .rows()
            .filter(|(_, _, limit)| limit.provenance == Provenance::Read)
            .map(|(name, _, limit)| (name, limit.floor.unwrap().midi()))
            .collect();
        assert_eq!(read, [("m3", 48), ("M7", 41)]);
    }
}
