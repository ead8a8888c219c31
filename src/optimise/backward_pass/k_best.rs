//! The best few choices, cheapest first.
//!
//! Every choice that is found is split into parts: for each decision, the choices that agree with it
//! before and take another row there. The best choice of a part is known without a search: it follows
//! the choice found, takes its row, and then decides as ever. So the next best choice is the best of the
//! cheapest part.

use crate::optimise::elimination::tables::Tables;
use crate::optimise::elimination_order::order::BucketRun;
use crate::optimise::minimum::key::{NEVER, least};
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::rc::Rc;

/// The choices that follow `base` in the first `place` decisions and take `row` in the next.
#[derive(PartialEq, Eq)]
struct Deviation {
    /// What the best of them costs.
    cost: u128,
    base: Rc<[u32]>,
    place: usize,
    row: u32,
    /// The cost of the best choice that follows `base` so far, whatever comes then.
    before: u128,
}

impl Deviation {
    /// The decisions that tell this part from any other.
    fn decisions(&self) -> impl Iterator<Item = u32> {
        self.base[..self.place].iter().copied().chain([self.row])
    }
}

impl Ord for Deviation {
    /// Greater is better, as the heap gives the greatest first. Among equals the one that takes the lower
    /// row where they first differ comes first; parts don't overlap, so they do differ there.
    fn cmp(&self, other: &Deviation) -> Ordering {
        let by_cost = other.cost.cmp(&self.cost);
        by_cost.then_with(|| other.decisions().cmp(self.decisions()))
    }
}

impl PartialOrd for Deviation {
    fn partial_cmp(&self, other: &Deviation) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

struct PlanRanking<'t> {
    tables: &'t Tables<'t>,
    /// The decisions in their order.
    places: Vec<(usize, &'t BucketRun)>,
    heap: BinaryHeap<Deviation>,
}

impl Tables<'_> {
    /// The `count` best choices, cheapest first; fewer if there are no more. Among equals the first
    /// decision in which they differ has the lower row first.
    pub fn k_best(&self, count: usize) -> Vec<Vec<u32>> {
        let mut ranking = PlanRanking {
            tables: self,
            places: self.decisions().collect(),
            heap: BinaryHeap::new(),
        };
        let total = self.totals().into_iter().flatten().next();
        let mut found = Vec::new();
        let Some(total) = total.filter(|_| count > 0) else {
            return found;
        };
        let mut choice = vec![0; self.model.variables().len()];
        self.decide(&mut choice, 0);
        ranking.split(&choice, total, 0);
        found.push(choice);
        while found.len() < count
            && let Some(part) = ranking.heap.pop()
        {
            found.push(ranking.take(&part));
        }
        found
    }
}

impl PlanRanking<'_> {
    fn variable(&self, decision: usize) -> usize {
        self.tables.order.sequence[self.places[decision].0] as usize
    }

    /// The best choice of a part, after the rest of the part is put back.
    fn take(&mut self, part: &Deviation) -> Vec<u32> {
        let mut choice = vec![0; self.places.len()];
        for (decision, row) in part.decisions().enumerate() {
            choice[self.variable(decision)] = row;
        }
        self.tables.decide(&mut choice, part.place + 1);
        let after = Some((part.cost - part.before, part.row));
        self.deviate(&part.base, &choice, part.place, part.before, after);
        self.split(&choice, part.cost, part.place + 1);
        choice
    }

    /// Adds the parts that deviate from a choice at decision `from` or later.
    fn split(&mut self, choice: &[u32], cost: u128, from: usize) {
        let decisions = 0..self.places.len();
        let base: Rc<[u32]> = decisions.map(|at| choice[self.variable(at)]).collect();
        for place in from..self.places.len() {
            // The choice's own row is the first without regret here.
            let own = Some((0, base[place]));
            self.deviate(&base, choice, place, cost, own);
        }
    }

    /// Adds the part that follows a choice before `place` and there takes the row that comes next after
    /// `after`, by regret and then by number.
    fn deviate(
        &mut self,
        base: &Rc<[u32]>,
        choice: &[u32],
        place: usize,
        before: u128,
        after: Option<(u128, u32)>,
    ) {
        let (at, run) = self.places[place];
        let mut sums = Vec::new();
        self.tables.line(run, at, choice, true, &mut sums);
        let least = least(&sums);
        let possible = (0..).zip(&sums).filter(|(_, sum)| **sum < NEVER);
        let regrets = possible.map(|(row, &sum)| (u128::from(sum - least), row));
        let next = regrets.filter(|&regret| Some(regret) > after).min();
        if let Some((regret, row)) = next {
            self.heap.push(Deviation {
                cost: before + regret,
                base: Rc::clone(base),
                place,
                row,
                before,
            });
        }
    }
}
