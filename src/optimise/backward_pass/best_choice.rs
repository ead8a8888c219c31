//! From the tables back to rows: a best choice, and all rows that some best choice takes.

use crate::optimise::elimination::bucket::add;
use crate::optimise::elimination::tables::Tables;
use crate::optimise::elimination_order::adjacency::{Adjacency, NONE};
use crate::optimise::elimination_order::order::BucketRun;
use crate::optimise::factor_graph::columns::{Block, LANES};
use crate::optimise::minimum::key::{join, least};
use crate::optimise::minimum::rows::Rows;
use std::ops::Range;

impl Tables<'_> {
    /// Every place of the sequence with its run, the place eliminated last first: the order in which
    /// variables are decided.
    pub fn decisions(&self) -> impl Iterator<Item = (usize, &BucketRun)> {
        let runs = self.order.runs.iter().rev();
        runs.flat_map(|run| run.places.clone().rev().map(move |place| (place, run)))
    }

    /// The bucket's sum for every row of the variable at a place, its scope being decided; with the link
    /// over which the table is handed on if `onward`.
    pub fn line(
        &self,
        run: &BucketRun,
        place: usize,
        choice: &[u32],
        onward: bool,
        sums: &mut Vec<u64>,
    ) {
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
            self.add_step(variable, &link, choice, sums);
        }
    }

    fn add_step(&self, variable: u32, link: &Adjacency, choice: &[u32], sums: &mut [u64]) {
        let other = choice[link.to as usize] as usize;
        for (index, sum) in sums.iter_mut().enumerate() {
            *sum = join(*sum, self.pair(variable, index, link, other));
        }
    }

    /// The line of a run's tables that belongs to a choice.
    pub fn context_line(&self, run: &BucketRun, choice: &[u32]) -> usize {
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
    fn noted(&self, run: &BucketRun, place: usize, choice: &[u32]) -> Option<u32> {
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
            kept: Vec::with_capacity(3 * variables),
            spans: vec![0..0; variables],
            choice: vec![0; variables],
            mark: Vec::new(),
            sums: Vec::new(),
        };
        for (place, run) in self.decisions() {
            ties.keep(run, place);
        }
        let mut rows = Rows::none(variables);
        for (variable, kept) in (0..).zip(ties.spans) {
            let all = self.rows.places_of(variable);
            let kept = ties.kept[kept].iter();
            rows.push(self.model, kept.map(|&index| all[index as usize]));
        }
        rows
    }
}

/// Rows being kept.
struct Ties<'t> {
    tables: &'t Tables<'t>,
    /// The rows kept, by their places, and where those of each variable lie.
    kept: Vec<u32>,
    spans: Vec<Range<usize>>,
    choice: Vec<u32>,
    /// Which rows of the present variable are marked, with a 1, and with some more bytes.
    mark: Vec<Block>,
    sums: Vec<u64>,
}

impl Ties<'_> {
    fn keep(&mut self, run: &BucketRun, place: usize) {
        let tables = self.tables;
        let variable = tables.order.sequence[place];
        let size = tables.size(variable);
        self.mark.clear();
        self.mark.resize(size.div_ceil(LANES), [0; LANES]);
        match tables.spans[place].lanes {
            lanes if lanes != NONE => self.mark_lanes(place, lanes as usize),
            _ => {
                let target = tables.order.target(place).map(|link| link.to);
                self.each_context(run, target, |ties| ties.mark_plainly(run, place));
            }
        }
        let start = self.kept.len();
        for (first, word) in self.mark.as_flattened().as_chunks().0.iter().enumerate() {
            let mut word = u64::from_le_bytes(*word);
            while word != 0 {
                let index = first as u32 * 8 + word.trailing_zeros() / 8;
                self.kept.extend((index < size as u32).then_some(index));
                word &= word - 1;
            }
        }
        self.spans[variable as usize] = start..self.kept.len();
    }

    /// Goes through all kept rows of the context, and of one more variable.
    fn each_context(
        &mut self,
        run: &BucketRun,
        more: Option<u32>,
        mut visit: impl FnMut(&mut Self),
    ) {
        let context = self.tables.order.context(run).iter().copied();
        let context: Vec<usize> = context.chain(more).map(|other| other as usize).collect();
        let mut taken = vec![0; context.len()];
        loop {
            for (&variable, &index) in context.iter().zip(&taken) {
                self.choice[variable] = self.kept[self.spans[variable].start + index];
            }
            visit(self);
            let next = (0..context.len()).rev().find(|&at| {
                taken[at] += 1;
                if taken[at] == self.spans[context[at]].len() {
                    taken[at] = 0;
                }
                taken[at] > 0
            });
            if next.is_none() {
                return;
            }
        }
    }

    fn mark_plainly(&mut self, run: &BucketRun, place: usize) {
        let (tables, choice) = (self.tables, &self.choice);
        tables.line(run, place, choice, true, &mut self.sums);
        let least = least(&self.sums);
        let marks = self.mark.as_flattened_mut().iter_mut();
        for (mark, &sum) in marks.zip(&self.sums) {
            *mark |= u8::from(sum == least);
        }
    }

    /// Marks the rows from which a kept row of the target is reached best.
    fn mark_lanes(&mut self, place: usize, lanes: usize) {
        let tables = self.tables;
        let Some(link) = tables.order.target(place) else {
            return;
        };
        let (lanes, start) = &tables.lanes[lanes];
        let (sources, targets) = lanes.blocks();
        let (excesses, sums) = tables.blocks[*start..][..sources + targets].split_at(sources);
        for &index in &self.kept[self.spans[link.to as usize].clone()] {
            let sum = sums.as_flattened()[index as usize];
            lanes.tied(index as usize, sum, excesses, &mut self.mark);
        }
    }
}
