//! Comping rhythms: when the left hand strikes its chords.
//!
//! A rhythm only says when: the notes are the arrangement's, and every chord is heard at least once.

use num_rational::Ratio;

/// A comping rhythm.
#[derive(Debug)]
pub struct Comping {
    /// The name it is asked for by.
    pub name: &'static str,
    /// What it is, in a few words.
    pub about: &'static str,
    /// In a bar of so many beats: where each stroke falls, in beats from the start of the bar, and
    /// how long it lasts. None where chords are struck as they change and held.
    strokes: fn(i64) -> Vec<StrokeTime>,
}

/// A stroke: where it falls and how long it lasts, in beats.
pub(super) type StrokeTime = (Ratio<i64>, Ratio<i64>);

/// Every rhythm. They are what players call by these names (from memory, no source).
pub const COMPING: &[Comping] = &[
    Comping {
        name: "held",
        about: "each chord is struck once and held",
        strokes: |_| Vec::new(),
    },
    Comping {
        name: "charleston",
        about: "on one and on the `and` of two: a dotted quarter and an eighth",
        strokes: |beats| match beats {
            2.. => vec![(whole(0), halves(3)), (halves(3), halves(1))],
            _ => Vec::new(),
        },
    },
    Comping {
        name: "four-to-the-bar",
        about: "on every beat",
        strokes: |beats| (0..beats).map(|beat| (whole(beat), whole(1))).collect(),
    },
    Comping {
        name: "two-and-four",
        about: "on every second beat",
        strokes: |beats| {
            let weak = (0..beats).filter(|beat| beat % 2 == 1);
            weak.map(|beat| (whole(beat), whole(1))).collect()
        },
    },
    Comping {
        name: "off-beats",
        about: "on the `and` of every beat",
        strokes: |beats| {
            let ands = (0..beats).map(|beat| (halves(2 * beat + 1), halves(1)));
            ands.collect()
        },
    },
];

/// The rhythm with this name.
pub fn comping(name: &str) -> Option<&'static Comping> {
    COMPING.iter().find(|comping| comping.name == name)
}

/// Each chord struck once and held.
pub(super) fn held() -> &'static Comping {
    &COMPING[0]
}

impl Comping {
    /// The strokes of a chord that lasts from `start` to `end` in a bar of so many beats.
    pub(super) fn strokes(
        &self,
        beats: i64,
        start: Ratio<i64>,
        end: Ratio<i64>,
    ) -> Vec<StrokeTime> {
        let all = (self.strokes)(beats).into_iter();
        let within = all.filter(|(at, _)| *at >= start && *at < end);
        let cut: Vec<StrokeTime> = within
            .map(|(at, length)| (at, length.min(end - at)))
            .collect();
        match cut.is_empty() {
            true => vec![(start, end - start)],
            false => cut,
        }
    }
}

fn whole(beats: i64) -> Ratio<i64> {
    Ratio::from(beats)
}

fn halves(number: i64) -> Ratio<i64> {
    Ratio::new(number, 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strokes(name: &str, beats: i64, start: i64, end: i64) -> String {
        let strokes = comping(name)
            .unwrap()
            .strokes(beats, whole(start), whole(end));
        let shown = strokes.iter().map(|(at, length)| format!("{at}+{length}"));
        shown.collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn strokes_fall_where_the_names_say() {
        assert_eq!(strokes("held", 4, 0, 4), "0+4");
        assert_eq!(strokes("charleston", 4, 0, 4), "0+3/2 3/2+1/2");
        assert_eq!(strokes("charleston", 4, 2, 4), "2+2");
        assert_eq!(strokes("charleston", 1, 0, 1), "0+1");
        assert_eq!(strokes("four-to-the-bar", 3, 0, 3), "0+1 1+1 2+1");
        assert_eq!(strokes("two-and-four", 4, 0, 4), "1+1 3+1");
        assert_eq!(strokes("off-beats", 2, 0, 2), "1/2+1/2 3/2+1/2");
    }

    #[test]
    fn names_are_told_apart() {
        for (at, one) in COMPING.iter().enumerate() {
            assert!(COMPING[at + 1..].iter().all(|other| other.name != one.name));
        }
        assert_eq!(held().name, "held");
    }
}
