//! A best choice of a given total weight: the weight is shared out on the way down.

use crate::optimise::elimination::tables::Tables;
use crate::optimise::elimination_order::order::BucketRun;
use crate::optimise::minimum::key::{NEVER, join};

/// For every weight of some tables together: the least sum, and what each table takes of the weight.
type Shares = Vec<(u64, Vec<usize>)>;

impl Tables<'_> {
    /// A best choice of exactly this weight, which must be possible. As ever each variable takes the
    /// lowest row of those that keep the cost least.
    pub fn decide_weight(&self, weight: usize, choice: &mut [u32]) {
        // The weight left for each place and all that its table covers.
        let mut left = vec![0; self.order.sequence.len()];
        if let Some(last) = left.last_mut() {
            *last = weight;
        }
        for (place, run) in self.decisions() {
            let row = self.best_row(run, place, left[place], choice);
            choice[self.order.sequence[place] as usize] = row;
            let rest = self.rest(place, row as usize, left[place]).unwrap_or(0);
            let below = self.cells_below(run, place, row as usize, choice);
            let (_, shares) = self.shares(&below, rest);
            for ((below, _), share) in below.into_iter().zip(shares) {
                left[below] = share;
            }
        }
    }

    fn best_row(&self, run: &BucketRun, place: usize, left: usize, choice: &[u32]) -> u32 {
        let alone = self.own_line(run, place, choice);
        let mut best = (NEVER, 0);
        for (index, &own) in alone.iter().enumerate() {
            // What lies below only adds to it.
            let Some(rest) = self.rest(place, index, left).filter(|_| own < best.0) else {
                continue;
            };
            let below = match self.cell_before(run, place, index, choice) {
                Some((before, cell)) => self.sum_at(before, cell, rest),
                None => {
                    self.shares(&self.cells_below(run, place, index, choice), rest)
                        .0
                }
            };
            if join(own, below) < best.0 {
                best = (join(own, below), index as u32);
            }
        }
        best.1
    }

    /// The weight that a row at a place leaves to what lies below; nothing if it weighs too much.
    fn rest(&self, place: usize, index: usize, left: usize) -> Option<usize> {
        left.checked_sub(self.weight(self.order.sequence[place], index))
    }

    /// What a cell of a place's table has at one weight.
    fn sum_at(&self, place: usize, cell: usize, weight: usize) -> u64 {
        let table = self.table(place);
        match weight < table.planes {
            true => table.plane(weight)[cell],
            false => NEVER,
        }
    }

    /// What the rows at a place cost beside what is decided, without the tables below.
    fn own_line(&self, run: &BucketRun, place: usize, choice: &[u32]) -> Vec<u64> {
        let variable = self.order.sequence[place];
        let first = place == run.places.start;
        let mut sums = match first {
            true => self.alone(run),
            false => self.own(variable).collect(),
        };
        let steps = if first { self.order.steps(run) } else { &[] };
        for link in steps.iter().copied().chain(self.order.target(place)) {
            let other = choice[link.to as usize] as usize;
            for (index, sum) in sums.iter_mut().enumerate() {
                *sum = join(*sum, self.pair(variable, index, &link, other));
            }
        }
        sums
    }

    /// The least sum of some tables, each at one cell, that together weigh `rest`, and what each of them
    /// takes of it.
    fn shares(&self, cells: &[(usize, usize)], rest: usize) -> (u64, Vec<usize>) {
        if let [(place, cell)] = cells[..] {
            return (self.sum_at(place, cell, rest), vec![rest]);
        }
        let mut shares: Shares = vec![(NEVER, Vec::new()); rest + 1];
        shares[0].0 = 0;
        for &(place, cell) in cells {
            shares = self.share(&shares, place, cell);
        }
        shares.pop().unwrap_or((NEVER, Vec::new()))
    }

    /// Of each table below a place the cell that belongs to a row and to what is decided.
    fn cells_below(
        &self,
        run: &BucketRun,
        place: usize,
        index: usize,
        choice: &[u32],
    ) -> Vec<(usize, usize)> {
        if let Some(cell) = self.cell_before(run, place, index, choice) {
            return vec![cell];
        }
        let variable = self.order.sequence[place];
        let cell = |child: usize| {
            let (strides, own) = self.strides(child, variable);
            let others = strides.iter();
            let at: usize = others
                .map(|&(other, stride)| stride * choice[other as usize] as usize)
                .sum();
            (self.order.runs[child].places.end - 1, at + own * index)
        };
        self.order.children(run).map(cell).collect()
    }

    /// The same of a place that isn't the first of its run: there is one table below, that of the place
    /// before.
    fn cell_before(
        &self,
        run: &BucketRun,
        place: usize,
        index: usize,
        choice: &[u32],
    ) -> Option<(usize, usize)> {
        let before = (place > run.places.start).then(|| place - 1)?;
        let size = self.size(self.order.sequence[place]);
        Some((before, self.context_line(run, choice) * size + index))
    }

    /// Adds one more table, the one of a place, at one of its cells.
    fn share(&self, shares: &Shares, place: usize, cell: usize) -> Shares {
        let table = self.table(place);
        let with = |weight: usize| {
            let parts = 0..table.planes.min(weight + 1);
            let sums = parts.map(|part| {
                let sum = join(shares[weight - part].0, table.plane(part)[cell]);
                (sum, part)
            });
            let (sum, part) = sums.min().unwrap_or((NEVER, 0));
            let mut taken = shares[weight - part].1.clone();
            taken.push(part);
            (sum, taken)
        };
        (0..shares.len()).map(with).collect()
    }
}
