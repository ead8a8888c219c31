//! The twelve keys in an order to practise them in.

use super::{Key, PitchClass};

/// From each key to the next by the same step, until all twelve have come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cycle {
    /// Up a fourth, which is down a fifth: C F Bb
    Fourths,
    /// By half steps
    HalfSteps,
    /// By whole steps, the other six keys after the first six
    WholeSteps,
    /// By minor thirds, four keys at a time
    MinorThirds,
}

impl Cycle {
    /// Every cycle.
    pub const ALL: [Self; 4] = [
        Self::Fourths,
        Self::HalfSteps,
        Self::WholeSteps,
        Self::MinorThirds,
    ];

    const fn step(self) -> i32 {
        match self {
            Self::Fourths => 5,
            Self::HalfSteps => 1,
            Self::WholeSteps => 2,
            Self::MinorThirds => 3,
        }
    }

    /// The twelve keys from the first on, upwards or down. A cycle that is back at its beginning before
    /// all have come goes on a half step further.
    ///
    /// ```
    /// # use compline::pitch::Cycle;
    /// let keys = Cycle::MinorThirds.keys("C".parse().unwrap(), true);
    /// let names: Vec<String> = keys.iter().map(ToString::to_string).collect();
    /// assert_eq!(names.join(" "), "C Eb Gb A Db E G Bb D F Ab B");
    /// ```
    pub fn keys(self, first: Key, up: bool) -> Vec<Key> {
        let direction = if up { 1 } else { -1 };
        let mut keys = vec![first];
        let mut start = 0;
        let mut at = 0;
        for _ in 1..12 {
            at += direction * self.step();
            if (at - start) % 12 == 0 {
                start += direction;
                at = start;
            }
            let tonic = first.tonic().class().number();
            let class = PitchClass::of(i32::from(tonic) + at);
            keys.extend(Key::usual(class, first.mode()));
        }
        keys
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn names(cycle: Cycle, first: &str, up: bool) -> String {
        let keys = cycle.keys(first.parse().unwrap(), up);
        let names: Vec<String> = keys.iter().map(ToString::to_string).collect();
        names.join(" ")
    }

    #[test]
    fn keys_come_in_the_order_of_their_cycle() {
        for (cycle, first, up, expected) in [
            (Cycle::Fourths, "C", true, "C F Bb Eb Ab Db Gb B E A D G"),
            (Cycle::Fourths, "C", false, "C G D A E B Gb Db Ab Eb Bb F"),
            (
                Cycle::HalfSteps,
                "Eb",
                false,
                "Eb D Db C B Bb A Ab G Gb F E",
            ),
            (Cycle::WholeSteps, "C", true, "C D E Gb Ab Bb Db Eb F G A B"),
            (
                Cycle::Fourths,
                "Am",
                true,
                "Am Dm Gm Cm Fm Bbm Ebm G#m C#m F#m Bm Em",
            ),
        ] {
            assert_eq!(names(cycle, first, up), expected);
        }
    }

    #[test]
    fn every_cycle_has_every_key_once() {
        for cycle in Cycle::ALL {
            for first in ["C", "F#", "Ebm", "Cb"] {
                for up in [true, false] {
                    let keys = cycle.keys(first.parse().unwrap(), up);
                    let classes: BTreeSet<u8> = keys
                        .iter()
                        .map(|key| key.tonic().class().number())
                        .collect();
                    assert_eq!((keys.len(), classes.len()), (12, 12), "{cycle:?} {first}");
                }
            }
        }
    }
}
