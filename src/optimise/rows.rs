//! Which values of each variable are looked at: all of them, those that a first pass left, or one that
//! is held.

use super::Model;

/// For each variable, rows by their numbers among all rows of the model.
#[derive(Clone, Debug)]
pub(super) struct Rows {
    live: Vec<u32>,
    ends: Vec<u32>,
    /// The most rows of a variable.
    most: usize,
    /// Whether these are all rows.
    pub whole: bool,
}

impl Rows {
    /// No variables yet.
    pub fn none(variables: usize) -> Rows {
        let mut ends = Vec::with_capacity(variables + 1);
        ends.push(0);
        Rows {
            live: Vec::new(),
            ends,
            most: 0,
            whole: false,
        }
    }

    /// Every row of every variable.
    pub fn all(model: &Model) -> Rows {
        let variables = 0..model.variables().len() as u32;
        let mut rows = Rows::none(variables.len());
        let sizes = variables
            .clone()
            .map(|variable| model.domain_of(variable).rows.len());
        rows.live.reserve_exact(sizes.sum());
        for variable in variables {
            rows.push(model.domain_of(variable).rows.clone());
        }
        rows.whole = true;
        rows
    }

    /// Adds the rows of the next variable.
    pub fn push(&mut self, rows: impl IntoIterator<Item = u32>) {
        let start = self.live.len();
        self.live.extend(rows);
        self.most = self.most.max(self.live.len() - start);
        self.ends.push(self.live.len() as u32);
    }

    /// How many rows all variables have together.
    pub fn len(&self) -> usize {
        self.live.len()
    }

    /// The most rows that one variable has.
    pub fn most(&self) -> usize {
        self.most
    }

    /// Where the rows of a variable lie among the rows of all variables.
    #[inline(always)]
    pub fn span(&self, variable: u32) -> std::ops::Range<usize> {
        self.ends[variable as usize] as usize..self.ends[variable as usize + 1] as usize
    }

    /// The rows of a variable.
    #[inline(always)]
    pub fn of(&self, variable: u32) -> &[u32] {
        &self.live[self.span(variable)]
    }

    #[inline(always)]
    pub fn size(&self, variable: u32) -> usize {
        self.span(variable).len()
    }

    /// A choice by place among these rows turned into one by place in the domains.
    pub fn places(&self, model: &Model, choice: &[u32]) -> Vec<usize> {
        let place = |(variable, &index): (usize, &u32)| {
            let row = self.of(variable as u32)[index as usize];
            (row - model.domain_of(variable as u32).rows.start) as usize
        };
        choice.iter().enumerate().map(place).collect()
    }
}
