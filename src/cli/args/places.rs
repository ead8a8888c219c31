//! Places of a chart with commas between them: `3,5-6,9.2`.

use std::collections::BTreeSet;
use std::fmt;
use std::str::FromStr;

use anyhow::Result;
use compline::chart::{Chart, Slot};
use compline::words::listed;

use super::BarsOrChord;

/// One place or several.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Places(Vec<BarsOrChord>);

impl FromStr for Places {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let places = text.split(',').map(|place| place.trim().parse());
        places.collect::<Result<_, _>>().map(Self)
    }
}

impl fmt::Display for Places {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let places: Vec<_> = self.0.iter().map(BarsOrChord::to_string).collect();
        f.write_str(&listed(&places, "and"))
    }
}

impl Places {
    /// The places, in the order they were written.
    pub fn iter(&self) -> impl Iterator<Item = &BarsOrChord> {
        self.0.iter()
    }

    /// The indices of the slots there; `slots` are all slots of a chart, in order.
    pub fn slots<'a>(&self, slots: impl Iterator<Item = &'a Slot> + Clone) -> BTreeSet<usize> {
        let places = self.iter();
        places
            .flat_map(|place| place.slots(slots.clone()))
            .collect()
    }

    /// Refuses a place that the chart doesn't have; `option` is what it was given to.
    ///
    /// # Errors
    ///
    /// The first bar that is not on the page, or chord that is not in its bar.
    pub fn check(&self, option: &str, chart: &Chart) -> Result<()> {
        self.iter().try_for_each(|place| place.check(option, chart))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_places_are_one_set_in_the_order_of_the_page() {
        let chart = compline::chart::read("| C F | G | Am |").unwrap();
        let slots = chart.slots();
        let places: Places = "3, 1.2,1-1".parse().unwrap();
        assert_eq!(places.slots(slots.iter()), BTreeSet::from([0, 1, 3]));
        assert_eq!(places.to_string(), "bar 3, chord 2 of bar 1 and bar 1");
        assert!(places.check("--bar", &chart).is_ok());
        for wrong in ["1,", ",", "1;2", "2,x"] {
            assert!(wrong.parse::<Places>().is_err(), "{wrong}");
        }
    }
}
