//! What has to be minimised over a variable: everything that names it.

use super::tables::Tables;
use crate::optimise::elimination_order::adjacency::Adjacency;
use crate::optimise::elimination_order::order::BucketRun;
use crate::optimise::minimum::key::{NEVER, join};

impl Tables<'_> {
    /// All that names the variable of a place except the link over which its table is handed on: for
    /// every plane and every row of the context a line of sums, one for each row of the variable.
    /// Returns the number of planes.
    pub fn bucket(&self, run: &BucketRun, place: usize, sums: &mut Vec<u64>) -> usize {
        if place == run.places.start {
            return self.first_bucket(run, sums);
        }
        let variable = self.order.sequence[place];
        let before = self.table(place - 1);
        let size = self.size(variable);
        sums.clear();
        let heaviest = self.heaviest(variable);
        if heaviest == 0 {
            sums.extend_from_slice(before.cells);
            self.add_own(variable, sums);
            return before.planes;
        }
        let planes = before.planes.saturating_add(heaviest).min(self.planes());
        let cells = before.cells.len() / before.planes;
        sums.resize(planes * cells, NEVER);
        let own: Vec<u64> = self.own(variable).collect();
        for (at, &key) in before.cells.iter().enumerate() {
            let (plane, index) = (at / cells + self.weight(variable, at % size), at % size);
            if plane < planes {
                sums[plane * cells + at % cells] = join(key, own[index]);
            }
        }
        planes
    }

    /// The greatest weight of a variable's rows, if weights are told apart.
    fn heaviest(&self, variable: u32) -> usize {
        if self.most.is_none() || self.model.domain_of(variable).extremes.weight == 0 {
            return 0;
        }
        let weights = (0..self.size(variable)).map(|index| self.weight(variable, index));
        weights.max().unwrap_or(0)
    }

    fn first_bucket(&self, run: &BucketRun, sums: &mut Vec<u64>) -> usize {
        let variable = self.order.sequence[run.places.start];
        let size = self.size(variable);
        let context = self.order.context(run);
        let lines: usize = context.iter().map(|&other| self.size(other)).product();
        let alone = self.alone(run);
        let mut planes = self.heaviest(variable).saturating_add(1).min(self.planes());
        sums.clear();
        sums.resize(planes * lines * size, NEVER);
        for (index, &key) in alone.iter().enumerate() {
            // A weight beyond the greatest can't be part of any plan asked for.
            let plane = self.plane(variable, index);
            for line in (0..lines).filter(|_| plane < planes) {
                sums[(plane * lines + line) * size + index] = key;
            }
        }
        for link in self.order.steps(run) {
            self.add_link(variable, link, context, sums);
        }
        for child in self.order.children(run) {
            planes = self.add_child(variable, child, context, planes, sums);
        }
        planes
    }

    /// The plane of a row in its own bucket: where weights are not told apart there is only one.
    fn plane(&self, variable: u32, index: usize) -> usize {
        match self.most {
            Some(_) => self.weight(variable, index),
            None => 0,
        }
    }

    /// How many planes there are at the most.
    fn planes(&self) -> usize {
        self.most.map_or(1, |most| most.saturating_add(1))
    }

    fn add_link(&self, variable: u32, link: &Adjacency, context: &[u32], sums: &mut [u64]) {
        let (size, others) = (self.size(variable), self.size(link.to));
        let pairs: Vec<u64> = (0..others)
            .flat_map(|other| (0..size).map(move |index| (index, other)))
            .map(|(index, other)| self.pair(variable, index, link, other))
            .collect();
        let lines: usize = context.iter().map(|&other| self.size(other)).product();
        for plane in sums.chunks_exact_mut(lines * size) {
            self.each_line(context, &[(link.to, size)], |line, at| {
                add(&mut plane[line * size..][..size], &pairs[at..], 1);
            });
        }
    }

    /// Joins the table of another run; the weights of both are added up in every way.
    fn add_child(
        &self,
        variable: u32,
        child: usize,
        context: &[u32],
        planes: usize,
        sums: &mut Vec<u64>,
    ) -> usize {
        let table = self.table_of(child);
        let (strides, own) = self.strides(child, variable);
        let size = self.size(variable);
        let plane_size = sums.len() / planes;
        if table.planes == 1 {
            for plane in sums.chunks_exact_mut(plane_size) {
                self.each_line(context, &strides, |line, at| {
                    add(&mut plane[line * size..][..size], &table.cells[at..], own);
                });
            }
            return planes;
        }
        let total = (planes + table.planes - 1).min(self.planes());
        let mut joined = vec![NEVER; total * plane_size];
        self.each_line(context, &strides, |line, at| {
            for (a, b) in splits(planes, table.planes, total) {
                let from = &sums[a * plane_size + line * size..][..size];
                let to = &mut joined[(a + b) * plane_size + line * size..][..size];
                let cells = &table.plane(b)[at..];
                for (index, (to, &from)) in to.iter_mut().zip(from).enumerate() {
                    *to = (*to).min(from + cells[index * own]);
                }
            }
        });
        *sums = joined;
        total
    }

    /// How far apart the cells of a run's table lie when a variable of its scope takes its next row:
    /// for all but `own`, and for `own`.
    pub fn strides(&self, run: usize, own: u32) -> (Vec<(u32, usize)>, usize) {
        let (mut stride, mut mine, mut others) = (1, 0, Vec::new());
        for variable in self.order.scope(&self.order.runs[run]).rev() {
            if variable == own {
                mine = stride;
            } else {
                others.push((variable, stride));
            }
            stride *= self.size(variable);
        }
        (others, mine)
    }

    /// Goes through every row of some variables, the last one fastest, with the place in a table.
    pub fn each_line(
        &self,
        context: &[u32],
        strides: &[(u32, usize)],
        mut visit: impl FnMut(usize, usize),
    ) {
        let stride = |variable: u32| strides.iter().find(|(other, _)| *other == variable);
        let axes: Vec<(usize, usize)> = context
            .iter()
            .map(|&variable| (self.size(variable), stride(variable).map_or(0, |s| s.1)))
            .collect();
        let (mut taken, mut at) = (vec![0; axes.len()], 0);
        for line in 0..axes.iter().map(|axis| axis.0).product() {
            visit(line, at);
            for (taken, &(size, stride)) in taken.iter_mut().zip(&axes).rev() {
                *taken += 1;
                at += stride;
                if *taken < size {
                    break;
                }
                at -= stride * size;
                *taken = 0;
            }
        }
    }
}

/// All pairs of planes whose sum is told apart.
fn splits(a: usize, b: usize, total: usize) -> impl Iterator<Item = (usize, usize)> {
    (0..a).flat_map(move |x| (0..b.min(total - x)).map(move |y| (x, y)))
}

/// Adds every `stride`-th key to a line.
#[inline(always)]
pub(in crate::optimise) fn add(line: &mut [u64], keys: &[u64], stride: usize) {
    if stride == 1 {
        for (sum, &key) in line.iter_mut().zip(keys) {
            *sum = join(*sum, key);
        }
    } else {
        for (at, sum) in line.iter_mut().enumerate() {
            *sum = join(*sum, keys[at * stride]);
        }
    }
}
