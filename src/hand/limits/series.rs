//! The table that follows from the harmonic series.

use super::{LimitTable, Provenance, WIDEST};

/// MIDI numbers, minor second to major tenth, worked out as [`series`] says.
const FLOORS: [u8; WIDEST as usize] = [
    68, 57, 49, 45, 40, 49, 33, 49, 40, 45, 57, 21, 55, 45, 49, 33,
];

/// Limits by the rule that the note an interval is heard as an overtone of must not lie below A0.
///
/// An interval in the ratio p:q belongs to a fundamental p times lower than its lower note; that
/// fundamental has to reach 27.5 Hz, so the lower note is `21 + 12 * log2(p)`, rounded to a key.
/// The rule and the values for P5, P4, M3, m3, M6 and m6 were read in a posting to rec.music.theory;
/// the other rows extend it with the simplest ratio of the interval.
pub fn series() -> LimitTable {
    LimitTable::numbered("series", FLOORS, Provenance::Computed)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// p and q of each interval, minor second to major tenth.
    const RATIOS: [(f64, f64); WIDEST as usize] = [
        (15.0, 16.0),
        (8.0, 9.0),
        (5.0, 6.0),
        (4.0, 5.0),
        (3.0, 4.0),
        (5.0, 7.0),
        (2.0, 3.0),
        (5.0, 8.0),
        (3.0, 5.0),
        (4.0, 7.0),
        (8.0, 15.0),
        (1.0, 2.0),
        (7.0, 15.0),
        (4.0, 9.0),
        (5.0, 12.0),
        (2.0, 5.0),
    ];

    #[test]
    fn every_floor_follows_from_its_ratio() {
        for ((name, semitones, limit), (p, q)) in series().rows().zip(RATIOS) {
            let sounded = 12.0 * (q / p).log2();
            assert!(
                (sounded - f64::from(semitones)).abs() < 0.5,
                "{name}: {sounded}"
            );
            let floor = (21.0 + 12.0 * p.log2()).round();
            assert_eq!(f64::from(limit.floor.unwrap().midi()), floor, "{name}");
        }
    }
}
