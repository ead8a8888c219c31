//! Rhythm splitting: which note values, tied together, write a length at its place in the bar.
//!
//! The reader must see where the beats are. So a value stays inside its group of beats unless both
//! its ends lie on beats; within a group it may start off the beat as musicians are used to (eighth,
//! quarter, eighth); within a beat anything goes that is plain. Rests are stricter: they never run
//! over a beat they did not start on. (Common practice in engraving, no source.)

use super::groups::Groups;
use super::{NoteValue, Quarters};

/// The values that write a length from `start` to `end` in a bar, in their order; both ends lie at
/// places without a tuplet.
pub(super) fn split(start: Quarters, end: Quarters, groups: &Groups, rest: bool) -> Vec<NoteValue> {
    let mut values = Vec::new();
    let mut at = start;
    while at < end {
        let Some(value) = longest(at, end, groups, rest) else {
            break;
        };
        values.push(value);
        at += value.length();
    }
    values
}

/// The values that make up a length, longest first, wherever the beats are.
pub(super) fn plain(length: Quarters) -> Vec<NoteValue> {
    let mut values = Vec::new();
    let mut left = length;
    while left > Quarters::ZERO {
        let Some(value) = NoteValue::all().find(|value| value.length() <= left) else {
            break;
        };
        values.push(value);
        left = left - value.length();
    }
    values
}

fn longest(at: Quarters, end: Quarters, groups: &Groups, rest: bool) -> Option<NoteValue> {
    let fitting = || NoteValue::all().filter(|value| value.length() <= end - at);
    let good = |value: &NoteValue| match rest {
        true => rests_well(at, *value, groups),
        false => reads_well(at, at + value.length(), groups),
    };
    let aligned = |value: &NoteValue| value.dots == 0 && at.is_multiple_of(value.length());
    fitting().find(good).or_else(|| fitting().find(aligned))
}

/// Whether one note may stand from `at` to `to`.
fn reads_well(at: Quarters, to: Quarters, groups: &Groups) -> bool {
    if groups.is_edge(at) && groups.is_edge(to) {
        return true;
    }
    let (start, end) = groups.around(at);
    if to > end {
        let on_beat = |place: Quarters| place.is_multiple_of(groups.unit);
        return on_beat(at) && on_beat(to) && groups.is_common();
    }
    within_group(at - start, to - start, groups.unit)
}

fn within_group(at: Quarters, to: Quarters, unit: Quarters) -> bool {
    if at.is_multiple_of(unit) && to.is_multiple_of(unit) {
        return true;
    }
    if in_one(at, to, unit) {
        return within_beat(at, to, unit);
    }
    let half = unit * ratio(1, 2);
    at.is_multiple_of(half) && to.is_multiple_of(half) && to - at <= unit * ratio(3, 2)
}

/// Within a beat the four quarters of it may be joined freely; what is finer stays in its half.
fn within_beat(at: Quarters, to: Quarters, beat: Quarters) -> bool {
    let (half, quarter) = (beat * ratio(1, 2), beat * ratio(1, 4));
    if at.is_multiple_of(quarter) && to.is_multiple_of(quarter) {
        return true;
    }
    quarter >= Quarters::new(1, 256) && in_one(at, to, half) && within_beat(at, to, half)
}

/// Whether a stretch lies within one multiple of `unit`.
fn in_one(at: Quarters, to: Quarters, unit: Quarters) -> bool {
    let first = (at.ratio() / unit.ratio()).floor();
    to.ratio() <= (first + 1) * unit.ratio()
}

/// A rest stands on a multiple of its own length, or fills groups.
fn rests_well(at: Quarters, value: NoteValue, groups: &Groups) -> bool {
    let to = at + value.length();
    if groups.is_edge(at) && groups.is_edge(to) {
        return true;
    }
    let (start, end) = groups.around(at);
    let of_three = groups.unit < Quarters::whole(1);
    let longest = if of_three {
        groups.unit * ratio(2, 1)
    } else {
        groups.unit
    };
    value.dots == 0
        && to <= end
        && value.length() <= longest
        && (at - start).is_multiple_of(value.length())
}

fn ratio(numerator: i64, denominator: i64) -> num_rational::Ratio<i64> {
    num_rational::Ratio::new(numerator, denominator)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Meter;
    use proptest::prelude::*;

    fn quarters(text: &str) -> Quarters {
        let (upper, lower) = text.split_once('/').unwrap_or((text, "1"));
        Quarters::new(upper.parse().unwrap(), lower.parse().unwrap())
    }

    fn shown(meter: &str, start: &str, end: &str, rest: bool) -> String {
        let groups = Groups::of(meter.parse().unwrap());
        let values = split(quarters(start), quarters(end), &groups, rest);
        let names = values
            .iter()
            .map(|v| format!("{}{}", v.name(), ".".repeat(usize::from(v.dots))));
        names.collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn notes_show_the_beats() {
        for (meter, start, end, values) in [
            ("4/4", "0", "4", "whole"),
            ("4/4", "0", "3", "half."),
            ("4/4", "1", "3", "half"),
            ("4/4", "1", "4", "half."),
            ("4/4", "1/2", "3/2", "quarter"),
            ("4/4", "3/2", "5/2", "eighth eighth"),
            ("4/4", "3/2", "4", "eighth half"),
            ("4/4", "0", "5/2", "half eighth"),
            ("4/4", "1/2", "2", "quarter."),
            ("4/4", "0", "7/2", "half. eighth"),
            ("4/4", "3/4", "5/4", "16th 16th"),
            ("4/4", "1/4", "3/4", "eighth"),
            ("4/4", "1/4", "1", "eighth."),
            ("3/4", "0", "3", "half."),
            ("3/4", "1/2", "5/2", "quarter. eighth"),
            ("3/4", "1", "3", "half"),
            ("5/4", "0", "5", "half. half"),
            ("2/2", "1", "3", "half"),
            ("2/2", "1/2", "5/2", "quarter. eighth"),
            ("6/8", "0", "3", "half."),
            ("6/8", "1", "2", "eighth eighth"),
            ("6/8", "1/2", "3/2", "quarter"),
            ("6/8", "0", "2", "quarter. eighth"),
            ("9/8", "0", "9/2", "half. quarter."),
            ("12/8", "0", "6", "whole."),
            ("7/8", "0", "7/2", "quarter. half"),
        ] {
            assert_eq!(
                shown(meter, start, end, false),
                values,
                "{meter} {start} {end}"
            );
        }
    }

    #[test]
    fn rests_show_them_more() {
        for (meter, start, end, values) in [
            ("4/4", "0", "2", "half"),
            ("4/4", "1", "3", "quarter quarter"),
            ("4/4", "1", "4", "quarter half"),
            ("4/4", "1/2", "3/2", "eighth eighth"),
            ("4/4", "0", "3/2", "quarter eighth"),
            ("3/4", "0", "2", "quarter quarter"),
            ("6/8", "0", "3/2", "quarter."),
            ("6/8", "1/2", "3/2", "eighth eighth"),
            ("6/8", "0", "1", "quarter"),
        ] {
            assert_eq!(
                shown(meter, start, end, true),
                values,
                "{meter} {start} {end}"
            );
        }
    }

    proptest! {
        /// Whatever the meter and the place, the values add up.
        #[test]
        fn nothing_is_lost(
            upper in 1u8..=32, lower in 0usize..4, from in 0i64..4096, long in 1i64..4096, rest: bool
        ) {
            let meter = Meter::new(upper, [2, 4, 8, 16][lower]).unwrap();
            let end = Quarters::of_bar(meter);
            let unit = Quarters::new(1, 64);
            let bar = (end.ratio() / unit.ratio()).to_integer();
            let from = from % bar;
            let to = (from + long).min(bar);
            let groups = Groups::of(meter);
            let (from, to) = (Quarters::new(from, 64), Quarters::new(to, 64));
            let sum: Quarters = split(from, to, &groups, rest).iter().map(|v| v.length()).sum();
            prop_assert_eq!(sum, to - from);
        }
    }
}
