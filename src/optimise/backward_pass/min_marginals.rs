//! What every single value costs: the least cost of a whole plan that takes it. These numbers are known
//! as min-marginals.
//!
//! The first pass told each bucket what the variables eliminated before it cost. A second, from the
//! variables eliminated last to those eliminated first, tells it what all others cost, as a function of
//! the bucket's scope. Both together make the bucket's sums whole: the least sum in which a row occurs
//! belongs to the best plan with it.

use crate::optimise::elimination::tables::Tables;
use crate::optimise::elimination_order::order::BucketRun;
use crate::optimise::minimum::ends::{Ends, Scratch};
use crate::optimise::minimum::key::{NEVER, join, least};
use crate::optimise::minimum::min_plus::min_plus;

impl Tables<'_> {
    /// For every row looked at, by how much the best choice with it exceeds the best of all; [`NEVER`]
    /// if there is none.
    pub fn min_marginals(&self) -> Vec<u64> {
        let mut second = Second {
            tables: self,
            outside: vec![Vec::new(); self.order.runs.len()],
            excess: vec![NEVER; self.rows.len()],
            sums: Vec::new(),
            scratch: Scratch::default(),
        };
        if let Some(last) = second.outside.last_mut() {
            *last = vec![0];
        }
        for (number, run) in self.order.runs.iter().enumerate().rev() {
            second.run(number, run);
        }
        second.excess
    }
}

/// The second pass.
struct Second<'t> {
    tables: &'t Tables<'t>,
    /// For each run what lies outside its last table, over the same scope.
    outside: Vec<Vec<u64>>,
    excess: Vec<u64>,
    sums: Vec<u64>,
    scratch: Scratch,
}

impl Second<'_> {
    fn run(&mut self, number: usize, run: &BucketRun) {
        let mut outside = std::mem::take(&mut self.outside[number]);
        for place in run.places.clone().rev() {
            self.place(run, place, &mut outside);
            if place > run.places.start {
                // What lies outside the table before is all but that table.
                let before = self.tables.table(place - 1).cells;
                outside.clear();
                let sums = self.sums.iter().zip(before);
                outside.extend(sums.map(|(&sum, &own)| without(sum, own)));
            }
        }
        self.hand_down(run);
    }

    /// Makes the sums of a place whole, and notes the least of each row.
    fn place(&mut self, run: &BucketRun, place: usize, outside: &mut [u64]) {
        let tables = self.tables;
        let variable = tables.order.sequence[place];
        let size = tables.size(variable);
        tables.bucket(run, place, &mut self.sums);
        lower(outside);
        match tables.order.target(place) {
            Some(link) => {
                let turned = link.turned(variable);
                let ends = Ends::new(tables.model, tables.rows, link.to, turned);
                let mut back = vec![NEVER; self.sums.len()];
                min_plus(&ends, tables.layout, outside, &mut back, &mut self.scratch);
                for (sum, back) in self.sums.iter_mut().zip(back) {
                    *sum = join(*sum, back);
                }
            }
            None => {
                let lines = self.sums.chunks_exact_mut(size).zip(&*outside);
                lines.for_each(|(line, &key)| {
                    line.iter_mut().for_each(|sum| *sum = join(*sum, key))
                });
            }
        }
        let excess = &mut self.excess[tables.rows.span(variable)];
        for line in self.sums.chunks_exact(size) {
            for (excess, &sum) in excess.iter_mut().zip(line) {
                *excess = (*excess).min(sum);
            }
        }
        lower(excess);
    }

    /// Tells the runs whose tables are joined at a run's first variable what lies outside them.
    fn hand_down(&mut self, run: &BucketRun) {
        let tables = self.tables;
        let variable = tables.order.sequence[run.places.start];
        let size = tables.size(variable);
        for child in tables.order.children(run) {
            let cells = tables.table_of(child).cells;
            let (strides, own) = tables.strides(child, variable);
            let mut outside = vec![NEVER; cells.len()];
            tables.each_line(tables.order.context(run), &strides, |line, at| {
                for (index, &sum) in self.sums[line * size..][..size].iter().enumerate() {
                    // The child's own table is the same in all sums of a cell, so it can be taken out
                    // of their minimum.
                    let cell = at + index * own;
                    outside[cell] = outside[cell].min(without(sum, cells[cell]));
                }
            });
            self.outside[child] = outside;
        }
    }
}

fn without(sum: u64, part: u64) -> u64 {
    if sum < NEVER && part < NEVER {
        sum - part
    } else {
        NEVER
    }
}

/// Counts keys from the least of them.
fn lower(keys: &mut [u64]) {
    let least = Some(least(keys))
        .filter(|&least| least < NEVER)
        .unwrap_or(0);
    for key in keys {
        *key = without(*key, least);
    }
}
