//! The N best plans of a graph, in order, without solving it again.
//!
//! The plans are split as Lawler (Management Science 18, 1972) and, for
//! elimination, Nilsson (Statistics and Computing 8, 1998) do: the best
//! plan is known; every other one agrees with it up to some slot and deviates there, so
//! the second best is the best among "agrees before slot p, deviates at p",
//! one part for each p; the part it comes from is split in the same way.
//!
//! A part's best plan needs no new elimination. Let the *regret* of a candidate
//! be the sum of its bucket less the bucket's minimum, given the slots decided
//! before. Then a plan costs the least total plus the regrets of all its candidates,
//! and after a deviation the rest of the plan can always be had without regret.

use super::cost::{IMPOSSIBLE, Key};
use super::elimination::Elimination;
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::rc::Rc;

/// The best plan of one part: it follows `base` in the first `place`
/// decisions, then takes `index`, then decides without regret.
#[derive(PartialEq, Eq)]
struct Part {
    cost: Key,
    base: Rc<[usize]>,
    place: usize,
    index: usize,
    /// The cost of the plan before the regret at `place` is added.
    before: Key,
}

impl Part {
    /// The decisions that tell this part from any other.
    fn decisions(&self) -> impl Iterator<Item = &usize> {
        self.base[..self.place].iter().chain([&self.index])
    }
}

impl Ord for Part {
    /// Greater is better, as the heap gives the greatest first. Among equals
    /// the one that takes the lower index where they first differ comes first;
    /// parts don't overlap, so they do differ there.
    fn cmp(&self, other: &Part) -> Ordering {
        let by_cost = other.cost.cmp(&self.cost);
        by_cost.then_with(|| other.decisions().cmp(self.decisions()))
    }
}

impl PartialOrd for Part {
    fn partial_cmp(&self, other: &Part) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

struct Ranking<'e, 'a> {
    elimination: &'e Elimination<'a>,
    place: Vec<usize>,
    /// The open slots in the order of decision.
    slots: Vec<usize>,
    heap: BinaryHeap<Part>,
}

impl Elimination<'_> {
    /// The `count` best choices with their costs, best first; among equals in
    /// lexicographic order of the decisions. Fewer if there are no more.
    pub(super) fn best(&self, count: usize) -> Vec<(Key, Vec<usize>)> {
        let mut ranking = Ranking {
            elimination: self,
            place: self.places(),
            slots: self.order.slots.iter().rev().copied().collect(),
            heap: BinaryHeap::new(),
        };
        let mut found = Vec::new();
        if count == 0 || self.total >= IMPOSSIBLE {
            return found;
        }
        let mut choice = self.undecided();
        self.decide(&ranking.place, &mut choice, 0);
        ranking.split(&choice, self.total, 0);
        found.push((self.total, choice));
        while found.len() < count {
            let Some(part) = ranking.heap.pop() else {
                break;
            };
            found.push((part.cost, ranking.take(&part)));
        }
        found
    }
}

impl Ranking<'_, '_> {
    /// The best plan of a part, after the rest of the part is put back.
    fn take(&mut self, part: &Part) -> Vec<usize> {
        let mut choice = self.elimination.undecided();
        for (&slot, &index) in self.slots.iter().zip(part.decisions()) {
            choice[slot] = index;
        }
        self.elimination
            .decide(&self.place, &mut choice, part.place + 1);
        let after = (part.cost - part.before, part.index);
        let decisions = Rc::clone(&part.base);
        self.deviate(&decisions, &choice, part.place, part.before, Some(after));
        self.split(&choice, part.cost, part.place + 1);
        choice
    }

    /// Adds the parts that deviate from a plan at `from` or later.
    fn split(&mut self, choice: &[usize], cost: Key, from: usize) {
        let decisions: Rc<[usize]> = self.slots.iter().map(|&slot| choice[slot]).collect();
        for place in from..self.slots.len() {
            // The plan's own candidate is the first without regret here.
            let own = Some((0, decisions[place]));
            self.deviate(&decisions, choice, place, cost, own);
        }
    }

    /// Adds the part that follows a plan before `place` and there takes any
    /// candidate that comes after `after`, by regret and then by index.
    fn deviate(
        &mut self,
        base: &Rc<[usize]>,
        choice: &[usize],
        place: usize,
        before: Key,
        after: Option<(Key, usize)>,
    ) {
        let slot = self.slots[place];
        let sums = self.elimination.decided_line(slot, &self.place, choice);
        let least = sums.iter().copied().min().unwrap_or(IMPOSSIBLE);
        let possible = sums
            .iter()
            .enumerate()
            .filter(|(_, sum)| **sum < IMPOSSIBLE);
        let regrets = possible.map(|(index, &sum)| (sum - least, index));
        let next = regrets.filter(|&regret| Some(regret) > after).min();
        if let Some((regret, index)) = next {
            self.heap.push(Part {
                cost: before + regret,
                base: Rc::clone(base),
                place,
                index,
                before,
            });
        }
    }
}
