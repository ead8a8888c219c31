//! Finds the order of elimination: fewest neighbours first, the last variable among equals.

use super::adjacency::{Adjacency, NONE, meetings};
use super::graph::Graph;
use super::order::{BucketRun, Order};
use super::{Budget, Edge, Model};
use std::collections::BinaryHeap;

/// What could not be eliminated within the budget.
#[derive(Debug)]
pub(super) struct Unfinished {
    /// The least number of neighbours of a variable that is left.
    pub width: usize,
}

/// Orders all variables, of which `size` tells how many values are looked at and `weights` how many
/// total weights are told apart, along the edges that `keep` names.
pub(super) fn order(
    model: &Model,
    size: impl Fn(u32) -> usize,
    keep: impl Fn(usize) -> bool,
    weights: usize,
    budget: Budget,
) -> Result<Order, Unfinished> {
    let sizes: Vec<u64> = (0..model.variables().len() as u32)
        .map(|variable| size(variable) as u64)
        .collect();
    if let Some(order) = straight(model, &sizes, &keep, weights, budget) {
        return Ok(order);
    }
    let mut elimination = Elimination::new(Graph::new(model, &sizes, keep), weights, budget);
    elimination.run();
    elimination.finish()
}

/// The order of a page that is one run, from its last variable to its first: what is found without this
/// as well, only later.
fn straight(
    model: &Model,
    sizes: &[u64],
    keep: impl Fn(usize) -> bool,
    weights: usize,
    budget: Budget,
) -> Option<Order> {
    let edges = model.edges();
    if !model.is_straight() || !(0..edges.len()).all(keep) {
        return None;
    }
    let mut spent = Spent::new(weights, budget);
    for edge in edges.iter().filter(|_| weights > 1) {
        spent.table(sizes[edge.from], meetings(model, edge, sizes))?;
    }
    let link = |edge: &Edge| Adjacency::back_to(edge.from as u32, edge);
    let mut order = Order::default();
    order.sequence = (0..sizes.len() as u32).rev().collect();
    order.onward = edges.iter().rev().map(link).collect();
    order.runs = vec![BucketRun::of(0..sizes.len())];
    order.width = 1;
    Some(order)
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
        if context.is_none() && self.weights == 1 {
            return Some(());
        }
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

struct Elimination<'m> {
    graph: Graph<'m>,
    spent: Spent,
    queue: Queue,
    /// The run in which each variable was eliminated.
    run_of: Vec<u32>,
    order: Order,
}

impl<'m> Elimination<'m> {
    fn new(graph: Graph<'m>, weights: usize, budget: Budget) -> Elimination<'m> {
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
            order: Order::with_room(graph.sizes.len()),
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
        let mut next = variable - 1;
        let mut paid = true;
        while self.graph.is_inside(next - 1) && self.queue.first() <= Some((!(degree as u32), next))
        {
            let back = self.graph.back(next);
            let others = shared.map(|link| self.graph.sizes[link.to as usize]);
            let size = self.graph.sizes[next as usize - 1];
            paid = self.spent.pay_stretch(others, size, back.pairs).is_some();
            if !paid {
                break;
            }
            self.queue.take_out(next);
            self.graph.leave_behind(next);
            self.run_of[next as usize] = self.order.runs.len() as u32 - 1;
            self.order.go_on(next, back);
            next -= 1;
        }
        let queue = &mut self.queue;
        queue.take_out(next);
        self.graph.rejoin(variable, next, shared, |other, degree| {
            if other != next || paid {
                queue.put(other, degree);
            }
        });
    }

    fn finish(mut self) -> Result<Order, Unfinished> {
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
