//! Finds the order of elimination: fewest neighbours first, the last variable among equals.

use super::adjacency::{Adjacency, NONE, meetings};
use super::budget::Budget;
use super::interaction_graph::Graph;
use super::order::Order;
use crate::optimise::factor_graph::model::Model;
use std::collections::BinaryHeap;

/// What could not be eliminated within the budget.
#[derive(Debug)]
pub(in crate::optimise) struct Unfinished {
    /// The least number of neighbours of a variable that is left.
    pub width: usize,
}

/// Orders all variables, of which `size` tells how many values are looked at and `weights` how many
/// total weights are told apart, along the edges that `keep` names.
pub(in crate::optimise) fn order<'m>(
    model: &'m Model,
    size: impl Fn(u32) -> usize,
    keep: impl Fn(usize) -> bool,
    weights: usize,
    budget: Budget,
) -> Result<Order<'m>, Unfinished> {
    let size = |variable: u32| size(variable) as u64;
    if let Some(order) = straight(model, size, &keep, weights, budget) {
        return Ok(order);
    }
    let sizes: Vec<u64> = (0..model.variables().len() as u32).map(size).collect();
    let graph = Graph::new(model, &sizes, keep);
    let mut elimination = Elimination::new(model, graph, weights, budget);
    elimination.run();
    elimination.finish()
}

/// The order of a page that is one run, from its last variable to its first: what is found without this
/// as well, only later.
fn straight<'m>(
    model: &'m Model,
    size: impl Fn(u32) -> u64,
    keep: impl Fn(usize) -> bool,
    weights: usize,
    budget: Budget,
) -> Option<Order<'m>> {
    let edges = model.edges();
    if !model.is_straight() || !(0..edges.len()).all(keep) {
        return None;
    }
    let mut spent = Spent::new(weights, budget);
    for edge in edges.iter().filter(|_| weights > 1) {
        spent.table(size(edge.from as u32), meetings(model, edge, &size))?;
    }
    Some(Order::straight(model))
}

/// What the tables cost so far.
struct Spent {
    weights: u64,
    left: Budget,
}

impl Spent {
    fn new(weights: usize, left: Budget) -> Spent {
        Spent {
            weights: weights as u64,
            left,
        }
    }

    /// Pays for a table with so many cells, each the least of its share of so many pairs.
    fn table(&mut self, cells: u64, pairs: u64) -> Option<()> {
        let (cells, work) = (
            cells.checked_mul(self.weights)?,
            pairs.checked_mul(self.weights)?,
        );
        self.left = Budget {
            cells: self.left.cells.checked_sub(cells)?,
            work: self.left.work.checked_sub(work)?,
        };
        Some(())
    }

    /// Pays for the elimination of a variable with these neighbours.
    fn pay(&mut self, sizes: &[u64], variable: u32, near: &[Adjacency]) -> Option<()> {
        if near.len() < 2 && self.weights == 1 {
            return Some(());
        }
        let product = |but: u32| {
            let others = near.iter().filter(|link| link.to != but);
            others
                .map(|link| sizes[link.to as usize])
                .try_fold(1, u64::checked_mul)
        };
        let cells = product(NONE)?;
        let pairs = match onward(near) {
            Some(at) => product(near[at].to)?.checked_mul(near[at].pairs)?,
            None => cells.checked_mul(sizes[variable as usize])?,
        };
        self.table(cells, pairs)
    }

    /// The same inside a stretch: the next variable has so many values, the context so many, if there is
    /// one, and so many pairs may meet.
    fn pay_stretch(&mut self, context: Option<u64>, next: u64, pairs: u64) -> Option<()> {
        let context = context.unwrap_or(1);
        self.table(context.checked_mul(next)?, context.checked_mul(pairs)?)
    }
}

/// Variables that wait to be eliminated: fewest neighbours first, and the last variable among those.
#[derive(Default)]
struct Queue {
    /// The number of neighbours, reversed, and the variable. An entry is stale unless the variable waits
    /// with this number of neighbours.
    heap: BinaryHeap<(u32, u32)>,
    /// With how many neighbours each variable waits; [`NONE`] if it doesn't.
    waits: Vec<u32>,
}

impl Queue {
    fn put(&mut self, variable: u32, degree: usize) {
        let waits = &mut self.waits[variable as usize];
        if *waits != degree as u32 {
            *waits = degree as u32;
            self.heap.push((!*waits, variable));
        }
    }

    fn take_out(&mut self, variable: u32) {
        self.waits[variable as usize] = NONE;
    }

    fn is_waiting(&self, variable: u32) -> bool {
        self.waits[variable as usize] != NONE
    }

    /// The first that waits.
    fn first(&mut self) -> Option<(u32, u32)> {
        while let Some(&(reversed, variable)) = self.heap.peek() {
            if self.waits[variable as usize] == !reversed {
                return Some((reversed, variable));
            }
            self.heap.pop();
        }
        None
    }

    fn pop(&mut self) -> Option<u32> {
        let (_, variable) = self.first()?;
        self.heap.pop();
        self.take_out(variable);
        Some(variable)
    }
}

struct Elimination<'m, 'g> {
    graph: Graph<'g>,
    spent: Spent,
    queue: Queue,
    /// The run in which each variable was eliminated.
    run_of: Vec<u32>,
    order: Order<'m>,
}

impl<'m, 'g> Elimination<'m, 'g> {
    fn new(
        model: &'m Model,
        graph: Graph<'g>,
        weights: usize,
        budget: Budget,
    ) -> Elimination<'m, 'g> {
        let mut queue = Queue {
            waits: vec![NONE; graph.sizes.len()],
            ..Queue::default()
        };
        for variable in 0..graph.sizes.len() as u32 {
            // Of variables on a straight stretch the last comes first; the others follow.
            if !(graph.is_inside(variable) && graph.is_inside(variable + 1)) {
                queue.put(variable, graph.degree(variable));
            }
        }
        Elimination {
            run_of: vec![NONE; graph.sizes.len()],
            spent: Spent::new(weights, budget),
            order: Order::of(model),
            queue,
            graph,
        }
    }

    fn run(&mut self) {
        while let Some(variable) = self.queue.pop() {
            let queue = &mut self.queue;
            self.graph
                .leave_stretch(variable, |other, degree| queue.put(other, degree));
            // A variable whose table is too large is dropped here; it comes back when one of its
            // neighbours is eliminated.
            let near = &self.graph.near[variable as usize];
            if self.spent.pay(self.graph.sizes, variable, near).is_none() {
                continue;
            }
            match self.stretch_from(variable) {
                Some(context) => self.descend(variable, context),
                None => self.eliminate(variable),
            }
        }
    }

    fn eliminate(&mut self, variable: u32) {
        let queue = &mut self.queue;
        let links = self
            .graph
            .remove(variable, |other, degree| queue.put(other, degree));
        self.bucket(variable, links);
    }

    /// Adds the elimination of a variable as a run of its own.
    fn bucket(&mut self, variable: u32, mut links: Vec<Adjacency>) {
        self.order.width = self.order.width.max(links.len());
        self.run_of[variable as usize] = self.order.runs.len() as u32;
        let onward = onward(&links).map(|at| links.remove(at));
        let fixed = self.graph.fixed(variable);
        self.order.push(variable, onward, &links, fixed);
    }

    /// If a stretch of two variables or more begins where the table of a variable is handed to, its other
    /// neighbour, or [`NONE`].
    fn stretch_from(&self, variable: u32) -> Option<u32> {
        let near = &self.graph.near[variable as usize];
        let next = onward(near).map(|at| near[at].to)?;
        let back = variable > 1 && next == variable - 1;
        if near.len() > 2 || !back || !self.graph.is_inside(next) || !self.graph.is_inside(next - 1)
        {
            return None;
        }
        let mut others = near.iter().map(|link| link.to);
        let context = others.find(|&other| other != next).unwrap_or(NONE);
        // One that was dropped would come back after every step.
        (context == NONE || self.queue.is_waiting(context)).then_some(context)
    }

    /// Eliminates a variable and the stretch after it, as long as the next of the stretch is the first of
    /// all that wait: each has the one before it and the context as neighbours, nothing else.
    fn descend(&mut self, variable: u32, context: u32) {
        let links = self.graph.take(variable);
        let degree = links.len();
        self.bucket(variable, links);
        let shared = (context != NONE).then(|| Adjacency::shared(context));
        self.queue.take_out(variable - 1);
        let end = self.stretch_end(variable - 1, degree);
        let next = self.paid_end(variable - 1, end, shared);
        let run = self.order.runs.len() as u32 - 1;
        let eliminated = next as usize + 1..variable as usize;
        self.run_of[eliminated.clone()].fill(run);
        self.order.go_on(self.graph.leave_behind(eliminated));
        let queue = &mut self.queue;
        self.graph.rejoin(variable, next, shared, |other, degree| {
            if other != next || next == end {
                queue.put(other, degree);
            }
        });
    }

    /// Down to where a stretch can be eliminated from `next` on: the variable that is left there.
    fn stretch_end(&mut self, mut next: u32, degree: usize) -> u32 {
        // Nothing is put into the queue on the way. Of as many neighbours the last variable comes first.
        let first_of_all = match self.queue.first() {
            Some((reversed, _)) if reversed > !(degree as u32) => return next,
            Some((reversed, waiting)) if reversed == !(degree as u32) => waiting,
            _ => 0,
        };
        while next >= first_of_all && self.graph.is_inside(next - 1) {
            next -= 1;
        }
        next
    }

    /// Pays for a stretch from `next` down to `end` as far as the budget goes: the variable that is left
    /// there.
    fn paid_end(&mut self, mut next: u32, end: u32, shared: Option<Adjacency>) -> u32 {
        let context = shared.map(|link| self.graph.sizes[link.to as usize]);
        if context.is_none() && self.spent.weights == 1 {
            return end;
        }
        while next > end {
            let size = self.graph.sizes[next as usize - 1];
            let pairs = self.graph.back(next).pairs;
            if self.spent.pay_stretch(context, size, pairs).is_none() {
                break;
            }
            next -= 1;
        }
        next
    }

    fn finish(mut self) -> Result<Order<'m>, Unfinished> {
        let left = self.run_of.iter().zip(0..);
        let left = left.filter(|(run, _)| **run == NONE);
        if let Some(width) = left.map(|(_, v)| self.graph.degree(v)).min() {
            return Err(Unfinished { width });
        }
        self.order.link(&self.run_of);
        self.order.join_runs();
        Ok(self.order)
    }
}

/// The link over which a table is handed on: one that nothing else joined here mentions, to the last
/// variable of those.
fn onward(links: &[Adjacency]) -> Option<usize> {
    let alone = links.iter().enumerate();
    let alone = alone.filter(|(_, link)| link.steps && !link.shared);
    alone.max_by_key(|(_, link)| link.to).map(|(at, _)| at)
}
