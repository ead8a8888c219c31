//! Which values of each variable are looked at: all of them, those that a first pass left, or one that
//! is held.

use crate::optimise::factor_graph::model::Model;

/// For each variable which values are looked at, by their places in its domain.
#[derive(Clone, Debug)]
pub(in crate::optimise) struct Rows {
    /// The places of one variable after those of another. If all rows are looked at, the places from 0 on,
    /// which serve all variables: on a long page a list for each would be most of the memory.
    places: Vec<u32>,
    ends: Vec<usize>,
    /// The most rows of a variable.
    most: usize,
    /// Whether these are all rows.
    pub whole: bool,
    /// If they are not: what each costs by itself, copied from where rows lie far apart.
    own: Vec<(u32, u32)>,
    /// The entries of each, as long as all have one length.
    entries: Vec<i16>,
    /// This length; 0 if there is none.
    length: usize,
}

/// Rows of one domain.
#[derive(Clone, Copy, Debug)]
pub(in crate::optimise) struct DomainRows<'r> {
    /// The number of the domain's first row among all rows of the model.
    pub first: u32,
    /// The places of the rows in the domain.
    pub places: &'r [u32],
}

impl<'r> DomainRows<'r> {
    /// How many rows there are.
    #[inline(always)]
    pub fn len(self) -> usize {
        self.places.len()
    }

    /// The number of a row among all rows of the model.
    #[inline(always)]
    pub fn get(self, index: usize) -> u32 {
        self.first + self.places[index]
    }

    /// The numbers of the rows among all rows of the model.
    #[inline(always)]
    pub fn iter(self) -> impl ExactSizeIterator<Item = u32> + Clone + 'r {
        self.places.iter().map(move |place| self.first + place)
    }
}

impl Rows {
    /// No variables yet.
    pub fn none(variables: usize) -> Rows {
        let mut ends = Vec::with_capacity(variables + 1);
        ends.push(0);
        Rows {
            places: Vec::new(),
            ends,
            most: 0,
            whole: false,
            own: Vec::new(),
            entries: Vec::new(),
            length: 0,
        }
    }

    /// Every row of every variable.
    pub fn all(model: &Model) -> Rows {
        let variables = 0..model.variables().len() as u32;
        let mut rows = Rows::none(variables.len());
        let mut end = 0;
        for variable in variables {
            let size = model.domain_of(variable).rows.len();
            end += size;
            rows.ends.push(end);
            rows.most = rows.most.max(size);
        }
        rows.places = (0..rows.most as u32).collect();
        rows.whole = true;
        rows
    }

    /// Adds the rows of the next variable, by their places in its domain.
    pub fn push(&mut self, model: &Model, places: impl IntoIterator<Item = u32>) {
        let (start, variable) = (self.places.len(), self.ends.len() as u32 - 1);
        let first = model.domain_of(variable).rows.start;
        for place in places {
            let entries = model.row(first + place);
            if self.places.is_empty() {
                self.length = entries.len();
            }
            if self.length == entries.len() {
                self.entries.extend_from_slice(entries);
            } else {
                self.length = 0;
            }
            self.own.push(model.own(first + place));
            self.places.push(place);
        }
        self.most = self.most.max(self.places.len() - start);
        self.ends.push(self.places.len());
    }

    /// How many rows all variables have together.
    pub fn len(&self) -> usize {
        self.ends.last().copied().unwrap_or(0)
    }

    /// The most rows that one variable has.
    pub fn most(&self) -> usize {
        self.most
    }

    /// Where the rows of a variable lie among the rows of all variables.
    #[inline(always)]
    pub fn span(&self, variable: u32) -> std::ops::Range<usize> {
        self.ends[variable as usize]..self.ends[variable as usize + 1]
    }

    /// The rows of a variable by their places in its domain.
    #[inline(always)]
    pub fn places_of(&self, variable: u32) -> &[u32] {
        let span = self.span(variable);
        match self.whole {
            true => &self.places[..span.len()],
            false => &self.places[span],
        }
    }

    /// The rows of a variable.
    #[inline(always)]
    pub fn of(&self, model: &Model, variable: u32) -> DomainRows<'_> {
        DomainRows {
            first: model.domain_of(variable).rows.start,
            places: self.places_of(variable),
        }
    }

    /// What the rows of a variable cost by themselves.
    #[inline(always)]
    pub fn own_of<'r>(&'r self, model: &'r Model, variable: u32) -> &'r [(u32, u32)] {
        match self.whole {
            true => model.own_of(&model.domain_of(variable).rows),
            false => &self.own[self.span(variable)],
        }
    }

    /// The entries of the rows of a variable, row after row, if all rows of all variables have one length and
    /// not all are looked at.
    #[inline(always)]
    pub fn entries_of(&self, variable: u32) -> Option<&[i16]> {
        let span = self.span(variable);
        let entries = || &self.entries[span.start * self.length..span.end * self.length];
        (self.length > 0).then(entries)
    }

    #[inline(always)]
    pub fn size(&self, variable: u32) -> usize {
        self.span(variable).len()
    }

    /// A choice by place among these rows turned into one by place in the domains.
    pub fn places(&self, choice: &[u32]) -> Vec<usize> {
        let place = |(variable, &index): (usize, &u32)| {
            let place = self.places_of(variable as u32)[index as usize];
            place as usize
        };
        choice.iter().enumerate().map(place).collect()
    }
}
