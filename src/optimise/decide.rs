//! From the tables back to rows: a best choice, and all rows that some best choice takes.

use super::cost::{NEVER, join};
use super::min_plus::{Ends, Scratch};
use super::order::Run;
use super::rows::Rows;
use super::tables::{Tables, add, least};

impl Tables<'_> {
    /// Every place of the sequence with its run, the place eliminated last first: the order in which
    /// variables are decided.
    pub fn decisions(&self) -> impl Iterator<Item = (usize, &Run)> {
        let runs = self.order.runs.iter().rev();
        runs.flat_map(|run| run.places.clone().rev().map(move |place| (place, run)))
    }

    /// The bucket's sum for every row of the variable at a place, its scope being decided; with the link
    /// over which the table is handed on if `onward`.
    pub fn line(&self, run: &Run, place: usize, choice: &[u32], onward: bool, sums: &mut Vec<u64>) {
        let variable = self.order.sequence[place];
        sums.clear();
        if place == run.places.start {
            sums.extend(self.alone(run));
            for link in self.order.steps(run) {
                self.add_step(variable, link, choice, sums);
            }
            for child in self.order.children(run) {
                let (strides, own) = self.strides(child, variable);
                let at: usize = strides
                    .iter()
                    .map(|&(other, stride)| stride * choice[other as usize] as usize)
                    .sum();
                add(sums, &self.table_of(child).cells[at..], own);
            }
        } else {
            let size = self.size(variable);
            let cells = self.table(place - 1).cells;
            let line = self.context_line(run, choice);
            sums.extend_from_slice(&cells[line * size..][..size]);
            self.add_own(variable, sums);
        }
        if let Some(link) = self.order.target(place).filter(|_| onward) {
            self.add_step(variable, link, choice, sums);
        }
    }

    fn add_step(&self, variable: u32, link: &super::graph::Link, choice: &[u32], sums: &mut [u64]) {
        let other = choice[link.to as usize] as usize;
        for (index, sum) in sums.iter_mut().enumerate() {
            *sum = join(*sum, self.pair(variable, index, link, other));
        }
    }

    /// The line of a run's tables that belongs to a choice.
    pub fn context_line(&self, run: &Run, choice: &[u32]) -> usize {
        let context = self.order.context(run).iter();
        context.fold(0, |line, &other| {
            line * self.size(other) + choice[other as usize] as usize
        })
    }

    /// Decides the variables from the place eliminated last to the first, beginning `from` decisions
    /// later; each takes the lowest row of those that keep the cost least.
    pub fn decide(&self, choice: &mut [u32], from: usize) {
        let (mut sums, last) = (Vec::new(), self.order.sequence.len() - from);
        for run in self.order.runs.iter().rev() {
            for place in (run.places.start..run.places.end.min(last)).rev() {
                let noted = self.noted(run, place, choice);
                let row = noted.unwrap_or_else(|| {
                    self.line(run, place, choice, true, &mut sums);
                    sums.iter().zip(0..).min().map_or(0, |(_, index)| index)
                });
                choice[self.order.sequence[place] as usize] = row;
            }
        }
    }

    /// The best row at a place, if the first pass noted it.
    #[inline(always)]
    fn noted(&self, run: &Run, place: usize, choice: &[u32]) -> Option<u32> {
        let link = self.order.target(place)?;
        let line = self.context_line(run, choice) * self.size(link.to);
        self.way(place, line + choice[link.to as usize] as usize)
    }

    /// All rows that some best choice takes, and perhaps a few more: a row is kept if it is best beside
    /// some kept rows of the scope.
    pub fn ties(&self) -> Rows {
        let variables = self.model.variables().len();
        let mut ties = Ties {
            tables: self,
            kept: vec![Vec::new(); variables],
            choice: vec![0; variables],
            mark: Vec::new(),
            sums: Vec::new(),
            scratch: Scratch::default(),
        };
        for (place, run) in self.decisions() {
            ties.keep(run, place);
        }
        let mut rows = Rows::none(variables);
        for (variable, kept) in (0..).zip(&ties.kept) {
            let all = self.rows.of(variable);
            rows.push(kept.iter().map(|&index| all[index as usize]));
        }
        rows
    }
}

/// Rows being kept.
struct Ties<'t> {
    tables: &'t Tables<'t>,
    /// For each variable decided the rows kept, by their places.
    kept: Vec<Vec<u32>>,
    choice: Vec<u32>,
    mark: Vec<bool>,
    sums: Vec<u64>,
    scratch: Scratch,
}

impl Ties<'_> {
    fn keep(&mut self, run: &Run, place: usize) {
        let tables = self.tables;
        let variable = tables.order.sequence[place];
        let size = tables.size(variable);
        self.mark.clear();
        self.mark.resize(size, false);
        let link = tables.order.target(place);
        let ends = link.map(|link| Ends::new(tables.model, tables.rows, variable, link));
        let lanes = ends.as_ref().filter(|_| !tables.scale.full);
        match lanes.and_then(Ends::lanes) {
            Some(lanes) => self.each_context(run, None, |ties| ties.mark_lanes(run, place, &lanes)),
            None => {
                let target = link.map(|link| link.to);
                self.each_context(run, target, |ties| ties.mark_plainly(run, place));
            }
        }
        let marked = self.mark.iter().zip(0..).filter(|(mark, _)| **mark);
        self.kept[variable as usize] = marked.map(|(_, index)| index).collect();
    }

    /// Goes through all kept rows of the context, and of one more variable.
    fn each_context(&mut self, run: &Run, more: Option<u32>, mut visit: impl FnMut(&mut Self)) {
        let context = self.tables.order.context(run).iter().copied();
        let context: Vec<usize> = context.chain(more).map(|other| other as usize).collect();
        let mut taken = vec![0; context.len()];
        loop {
            for (&variable, &index) in context.iter().zip(&taken) {
                self.choice[variable] = self.kept[variable][index];
            }
            visit(self);
            let next = (0..context.len()).rev().find(|&at| {
                taken[at] += 1;
                if taken[at] == self.kept[context[at]].len() {
                    taken[at] = 0;
                }
                taken[at] > 0
            });
            if next.is_none() {
                return;
            }
        }
    }

    fn mark_plainly(&mut self, run: &Run, place: usize) {
        let (tables, choice) = (self.tables, &self.choice);
        tables.line(run, place, choice, true, &mut self.sums);
        let least = least(&self.sums);
        for (mark, &sum) in self.mark.iter_mut().zip(&self.sums) {
            *mark |= sum == least;
        }
    }

    fn mark_lanes(&mut self, run: &Run, place: usize, lanes: &super::kernel::Lanes<'_>) {
        let tables = self.tables;
        let Some(link) = tables.order.target(place) else {
            return;
        };
        tables.line(run, place, &self.choice, false, &mut self.sums);
        let room = &mut self.scratch.kernel;
        lanes.ready(&self.sums, room);
        let (table, size) = (tables.table(place), tables.size(link.to));
        let cells = &table.cells[tables.context_line(run, &self.choice) * size..][..size];
        for &index in &self.kept[link.to as usize] {
            let sum = cells[index as usize] + table.lowered;
            if sum < NEVER {
                let row = tables.model.row(tables.rows.of(link.to)[index as usize]);
                lanes.tied(row, sum, room, &mut self.mark);
            }
        }
    }
}
