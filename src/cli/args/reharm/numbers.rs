//! The value of `--apply`: numbers of the list, and ranges of them.

use std::collections::BTreeSet;
use std::ops::RangeInclusive;
use std::str::FromStr;

use anyhow::{Result, bail};
use compline::explain::bars;
use compline::reharm::Listed;

use crate::cli::args::places::range;

/// Numbers as they were asked for, in ranges; each counts once, however often it is named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Numbers(Vec<RangeInclusive<usize>>);

impl FromStr for Numbers {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let ranges = text.split(',').map(str::trim);
        let ranges = ranges.map(|text| range(text, "number of the list: write such as 3 or 3,5-7"));
        ranges.collect::<Result<_, _>>().map(Self)
    }
}

impl Numbers {
    /// The places of the proposals in the list, rising.
    ///
    /// # Errors
    ///
    /// A number that the list doesn't have, and two that replace the same chord.
    pub fn of(&self, listed: &[Listed]) -> Result<Vec<usize>> {
        let Self(ranges) = self;
        let mut taken = BTreeSet::new();
        for range in ranges {
            for number in [*range.start(), *range.end()] {
                if number == 0 || number > listed.len() {
                    bail!("--apply {number}: {}", there_are(listed.len()));
                }
            }
            taken.extend(range.clone().map(|number| number - 1));
        }
        let taken: Vec<usize> = taken.into_iter().collect();
        let chosen: Vec<&Listed> = taken.iter().filter_map(|&at| listed.get(at)).collect();
        for (place, one) in chosen.iter().enumerate() {
            if let Some(other) = chosen.iter().take(place).find(|other| one.meets(other)) {
                bail!(
                    "--apply: {} and {} replace the same chord: take one of them",
                    named(other),
                    named(one)
                );
            }
        }
        Ok(taken)
    }
}

fn there_are(count: usize) -> String {
    match count {
        0 => "there are no proposals".to_owned(),
        1 => "there is one proposal, 1".to_owned(),
        count => format!("there are proposals 1 to {count}"),
    }
}

/// `3 (bar 2: Db7 for G7)`.
fn named(listed: &Listed) -> String {
    let (number, bars, short) = (listed.number, bars(listed.bars()), listed.in_short());
    format!("{number} ({bars}: {short})")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_ranges_are_read_and_nothing_else() {
        let ranges = |text: &str| text.parse::<Numbers>().map(|Numbers(ranges)| ranges);
        assert_eq!(ranges("3,5-7"), Ok(vec![3..=3, 5..=7]));
        assert_eq!(ranges("3, 3"), Ok(vec![3..=3, 3..=3]));
        for wrong in ["", "x", "3,", "3-", "-3", "1-2-3", "3.5"] {
            assert!(ranges(wrong).is_err(), "{wrong}");
        }
        let backwards = ranges("7-5").unwrap_err();
        assert_eq!(backwards, "`7-5` runs backwards: write 5-7");
    }
}
