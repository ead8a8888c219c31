//! How a meter groups its beats: what note values must leave visible and what beams join.

use super::Quarters;
use crate::chart::Meter;

/// A bar in its groups.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Groups {
    /// Where each group ends, rising; the last is the end of the bar.
    pub ends: Vec<Quarters>,
    /// The note that is counted within a group: a quarter in 4/4, an eighth in 6/8.
    pub unit: Quarters,
}

impl Groups {
    /// The groups of a meter: 2 + 2 quarters in 4/4, 3 + 2 in 5/4, dotted quarters in 6/8, 3 + 2 + 2
    /// eighths in 7/8. Halves count as two quarters. (Common practice, no source; a tune in 7/8 may
    /// well be felt 2 + 2 + 3.)
    pub(super) fn of(meter: Meter) -> Self {
        let (upper, unit) = match meter.lower() {
            2 => (u32::from(meter.upper()) * 2, Quarters::whole(1)),
            lower => (u32::from(meter.upper()), Quarters::new(4, i64::from(lower))),
        };
        let sizes = match meter.lower() {
            2 => vec![2; usize::from(meter.upper())],
            4 => of_quarters(upper),
            _ => of_eighths(upper),
        };
        let mut end = Quarters::ZERO;
        let ends = sizes.into_iter().map(|size| {
            end += unit * size.into();
            end
        });
        Self {
            ends: ends.collect(),
            unit,
        }
    }

    /// The group a place lies in: its start and its end.
    pub(super) fn around(&self, place: Quarters) -> (Quarters, Quarters) {
        let at = self.ends.partition_point(|end| *end <= place);
        let end_of = |at: usize| self.ends.get(at).copied();
        let start = at.checked_sub(1).and_then(end_of);
        let last = self.ends.last().copied().unwrap_or(Quarters::ZERO);
        (start.unwrap_or(Quarters::ZERO), end_of(at).unwrap_or(last))
    }

    /// Whether the bar is two pairs of quarters: 4/4 and 2/2, where a note on a beat may run over the
    /// middle.
    pub(super) fn is_common(&self) -> bool {
        self.ends == [Quarters::whole(2), Quarters::whole(4)]
    }

    /// Whether a place is the start of the bar or the end of a group.
    pub(super) fn is_edge(&self, place: Quarters) -> bool {
        place == Quarters::ZERO || self.ends.binary_search(&place).is_ok()
    }
}

fn of_quarters(upper: u32) -> Vec<i64> {
    match upper {
        1..=3 => vec![i64::from(upper)],
        4 => vec![2, 2],
        5 => vec![3, 2],
        6 => vec![3, 3],
        7 => vec![2, 2, 3],
        _ => (0..upper / 2)
            .map(|_| 2)
            .chain((upper % 2 == 1).then_some(1))
            .collect(),
    }
}

/// Threes as long as what is left can be made of threes and twos.
fn of_eighths(upper: u32) -> Vec<i64> {
    let mut left = upper;
    let mut sizes = Vec::new();
    while left > 0 {
        let size = match left {
            2 | 4 => 2,
            1 => 1,
            _ => 3,
        };
        sizes.push(i64::from(size));
        left -= size;
    }
    sizes
}

#[cfg(test)]
mod tests {
    use super::*;

    fn groups(meter: &str) -> String {
        let groups = Groups::of(meter.parse().unwrap());
        let ends: Vec<String> = groups.ends.iter().map(ToString::to_string).collect();
        ends.join(" ")
    }

    #[test]
    fn meters_group_as_musicians_count_them() {
        for (meter, ends) in [
            ("4/4", "2 4"),
            ("3/4", "3"),
            ("2/2", "2 4"),
            ("5/4", "3 5"),
            ("6/8", "3/2 3"),
            ("12/8", "3/2 3 9/2 6"),
            ("5/8", "3/2 5/2"),
            ("7/8", "3/2 5/2 7/2"),
            ("9/4", "2 4 6 8 9"),
            ("3/16", "3/4"),
        ] {
            assert_eq!(groups(meter), ends, "{meter}");
        }
    }

    #[test]
    fn every_meter_is_filled() {
        for lower in [2, 4, 8, 16] {
            for upper in 1..=32 {
                let meter = Meter::new(upper, lower).unwrap();
                let end = Groups::of(meter).ends.last().copied();
                assert_eq!(end, Some(Quarters::of_bar(meter)), "{meter}");
            }
        }
    }
}
