//! A best choice of a given total weight: the weight is shared out on the way down.

use super::key::{NEVER, join};
use super::order::BucketRun;
use super::tables::Tables;

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
            let (row, shares) = self.best_row(run, place, left[place], choice);
            choice[self.order.sequence[place] as usize] = row;
            let below = self.cells_below(run, place, row as usize, choice);
            for ((below, _), share) in below.into_iter().zip(shares) {
                left[below] = share;
            }
        }
    }

    fn best_row(
        &self,
        run: &BucketRun,
        place: usize,
        left: usize,
        choice: &[u32],
    ) -> (u32, Vec<usize>) {
        let variable = self.order.sequence[place];
        let alone = self.own_line(run, place, choice);
        let mut best = (NEVER, 0, Vec::new());
        for (index, &own) in alone.iter().enumerate() {
            let Some(rest) = left.checked_sub(self.weight(variable, index)) else {
                continue;
            };
            let shares = self.shares(run, place, index, rest, choice);
            if join(own, shares.0) < best.0 {
                best = (join(own, shares.0), index as u32, shares.1);
            }
        }
        (best.1, best.2)
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
        for link in steps.iter().chain(self.order.target(place)) {
            let other = choice[link.to as usize] as usize;
            for (index, sum) in sums.iter_mut().enumerate() {
                *sum = join(*sum, self.pair(variable, index, link, other));
            }
        }
        sums
    }

    /// The least sum of the tables below a place at one row that together weigh `rest`, and what each
    /// of them takes of it.
    fn shares(
        &self,
        run: &BucketRun,
        place: usize,
        index: usize,
        rest: usize,
        choice: &[u32],
    ) -> (u64, Vec<usize>) {
        let cells = self.cells_below(run, place, index, choice);
        if let [(place, cell)] = cells[..] {
            let table = self.table(place);
            let known = rest < table.planes;
            let sum = known.then(|| table.plane(rest)[cell]);
            return (sum.unwrap_or(NEVER), vec![rest]);
        }
        let mut shares: Shares = vec![(NEVER, Vec::new()); rest + 1];
        shares[0].0 = 0;
        for (place, cell) in cells {
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
        let variable = self.order.sequence[place];
        if place > run.places.start {
            let at = self.context_line(run, choice) * self.size(variable) + index;
            return vec![(place - 1, at)];
        }
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
