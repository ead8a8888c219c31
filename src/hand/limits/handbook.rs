//! The arranging-textbook table.

use super::{LimitTable, Provenance, WIDEST};

/// MIDI numbers, minor second to major tenth; 0 for none.
const FLOORS: [u8; WIDEST as usize] = [
    52, 51, 48, 46, 46, 47, 34, 41, 41, 41, 41, 0, 40, 39, 36, 34,
];

/// The limits arranging classes teach (the tradition of Lowell & Pullig, *Arranging for Large Jazz
/// Ensemble*, 2003, sect. 1-4).
///
/// The minor third (C3) and the major seventh (F2) were read in print; the seconds, the sixths and the minor
/// seventh were read in a music retailer's glossary, which prints the same numbers. Every other number
/// is from memory; the major third and the major tenth are borne out by the count of [`super::scores`]. The
/// tritone is the least certain, and some charts also give Bb2 for it and G2 for the minor sixth.
pub fn handbook() -> LimitTable {
    let mut table = LimitTable::numbered("handbook", FLOORS, Provenance::Memory);
    for (interval, provenance) in [
        (1, Provenance::Glossary),
        (2, Provenance::Glossary),
        (3, Provenance::Read),
        (4, Provenance::BorneOut),
        (6, Provenance::LeastCertain),
        (8, Provenance::Glossary),
        (9, Provenance::Glossary),
        (10, Provenance::Glossary),
        (11, Provenance::Read),
        (16, Provenance::BorneOut),
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
        let from = |wanted: &[Provenance]| -> Vec<(&str, u8)> {
            let table = handbook();
            let rows = table
                .rows()
                .filter(|(_, _, limit)| wanted.contains(&limit.provenance));
            rows.map(|(name, _, limit)| (name, limit.floor.unwrap().midi()))
                .collect()
        };
        assert_eq!(from(&[Provenance::Read]), [("m3", 48), ("M7", 41)]);
        let glossary = [("m2", 52), ("M2", 51), ("m6", 41), ("M6", 41), ("m7", 41)];
        assert_eq!(from(&[Provenance::Glossary]), glossary);
        assert_eq!(from(&[Provenance::BorneOut]), [("M3", 46), ("M10", 34)]);
    }
}
