//! The value of `--bar`: one written bar, or a row of them.

use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

use anyhow::Result;
use compline::chart::Chart;
use compline::explain::bars;
use compline::reharm::Listed;

use super::numbers::range;
use crate::cli::slots::has_bar;

/// The written bars that are asked about, counted from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bars(RangeInclusive<usize>);

impl FromStr for Bars {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        range(text, "bar: write such as 3 or 5-8").map(Self)
    }
}

impl fmt::Display for Bars {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(asked) = self;
        f.write_str(&bars((*asked.start(), *asked.end())))
    }
}

impl Bars {
    /// The proposals that touch no other bar; each keeps its number.
    ///
    /// # Errors
    ///
    /// Bars the chart doesn't have.
    pub fn of(&self, chart: &Chart, listed: Vec<Listed>) -> Result<Vec<Listed>> {
        let Self(asked) = self;
        for bar in [*asked.start(), *asked.end()] {
            has_bar(chart, bar)?;
        }
        let within = |listed: &Listed| {
            let (first, last) = listed.bars();
            asked.contains(&first) && asked.contains(&last)
        };
        Ok(listed.into_iter().filter(within).collect())
    }
}
