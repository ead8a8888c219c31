//! A stretch of written bars that is played as one, with repeats and signs of its own.
//!
//! A whole chart is one, unless `play` takes it apart into one for every section.

use crate::chart::{Bar, Section};

/// A stretch of bars.
pub(super) struct WrittenBars<'a> {
    /// The number of its first bar among all written bars, from 0.
    pub first: usize,
    /// Its bars.
    pub bars: Vec<&'a Bar>,
    /// For each bar, whether a section starts with it.
    pub headed: Vec<bool>,
    /// Whether it is one section, taken out of its chart by `play`.
    pub taken_out: bool,
}

impl<'a> WrittenBars<'a> {
    /// The bars of some sections that follow one another; `first` is its first bar's number.
    pub(super) fn of(first: usize, sections: &'a [Section], taken_out: bool) -> Self {
        let (mut bars, mut headed) = (Vec::new(), Vec::new());
        for section in sections {
            let before = bars.len();
            bars.extend(section.lines.iter().flat_map(|line| &line.bars));
            headed.resize(bars.len(), false);
            if let Some(head) = headed.get_mut(before) {
                *head = true;
            }
        }
        Self {
            first,
            bars,
            headed,
            taken_out,
        }
    }

    /// Whether the bar after this one starts an ending.
    pub(super) fn ending_follows(&self, bar: usize) -> bool {
        let next = self.bars.get(bar + 1);
        next.is_some_and(|next| !next.opens.endings.is_empty())
    }
}
