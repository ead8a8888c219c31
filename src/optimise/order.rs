//! In which order variables are eliminated, and what each elimination has to join.
//!
//! Eliminating a variable joins all its neighbours in one table, and from then on they are neighbours of
//! each other. Taking the variable with the fewest neighbours first (minimum degree), the last one among
//! equals, keeps the tables small on models that are nearly chains. A variable with a single value has no
//! neighbours: what its steps cost is a cost of the values at their other end.
//!
//! Consecutive eliminations that only hand one table on are one *run*: a whole straight page is a single
//! one. Nothing here looks at rows; sizes are enough.

use super::graph::{Graph, Link, meetings};
use super::{Budget, Model};
use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::ops::Range;

/// No variable, or no run.
pub(super) const NONE: u32 = u32::MAX;

/// An order of elimination, run by run.
#[derive(Debug, Default)]
pub(super) struct Order {
    /// The variables as they are eliminated.
    pub sequence: Vec<u32>,
    pub runs: Vec<Run>,
    /// Of each place in the sequence the link over which its table is handed on; without one the place
    /// has a link to [`NONE`].
    pub onward: Vec<Link>,
    contexts: Vec<u32>,
    links: Vec<Link>,
    /// The most neighbours that a variable had when it was eliminated.
    pub width: usize,
}

/// Variables that are eliminated one after the other, each handing on to the next a table over it and
/// over the *context*, which is the same for all of them.
#[derive(Clone, Debug)]
pub(super) struct Run {
    /// Its places in the sequence.
    pub places: Range<usize>,
    context: Range<usize>,
    /// The links of the first variable into the context, then those to variables without a choice.
    steps: Range<usize>,
    fixed: Range<usize>,
    /// The first run whose table is joined at the first variable, and the next run with the same parent.
    child: u32,
    sibling: u32,
}

/// What could not be eliminated within the budget.
#[derive(Debug)]
pub(super) struct Stuck {
    /// The least number of neighbours of a variable that is left.
    pub width: usize,
}

impl Order {
    /// The variables over which all tables of a run stretch, beside the one each is handed to.
    #[inline(always)]
    pub fn context(&self, run: &Run) -> &[u32] {
        &self.contexts[run.context.clone()]
    }

    /// The links of a run's first variable into the context.
    pub fn steps(&self, run: &Run) -> &[Link] {
        &self.links[run.steps.clone()]
    }

    /// The links of a run's first variable to variables without a choice.
    pub fn fixed(&self, run: &Run) -> &[Link] {
        &self.links[run.fixed.clone()]
    }

    /// The runs whose tables are joined at a run's first variable.
    pub fn children(&self, run: &Run) -> impl Iterator<Item = usize> + '_ {
        let mut next = run.child;
        std::iter::from_fn(move || {
            let child = (next != NONE).then_some(next as usize)?;
            next = self.runs[child].sibling;
            Some(child)
        })
    }

    /// The variable to which the table of a place is handed over a link, if it is.
    #[inline(always)]
    pub fn target(&self, place: usize) -> Option<&Link> {
        self.onward.get(place).filter(|link| link.to != NONE)
    }

    /// The scope of a run's last table: the context, then the target.
    pub fn scope(&self, run: &Run) -> impl DoubleEndedIterator<Item = u32> + Clone + '_ {
        let target = self.target(run.places.end - 1).map(|link| link.to);
        self.context(run).iter().copied().chain(target)
    }

    /// Orders all variables, of which `size` tells how many values are looked at and `weights` how many
    /// total weights are told apart, along the edges that `keep` names.
    pub fn new(
        model: &Model,
        size: impl Fn(u32) -> usize,
        keep: impl Fn(usize) -> bool,
        weights: usize,
        budget: Budget,
    ) -> Result<Order, Stuck> {
        let sizes: Vec<u64> = (0..model.variables().len() as u32)
            .map(|variable| size(variable) as u64)
            .collect();
        if let Some(order) = Order::straight(model, &sizes, &keep, weights, budget) {
            return Ok(order);
        }
        let mut elimination =
            Elimination::new(Graph::new(model, &sizes, keep), sizes, weights, budget);
        elimination.run();
        elimination.finish()
    }

    /// The order of a page that is one run, from its last variable to its first: what [`Order::new`]
    /// finds as well, without building the graph.
    fn straight(
        model: &Model,
        sizes: &[u64],
        keep: impl Fn(usize) -> bool,
        weights: usize,
        budget: Budget,
    ) -> Option<Order> {
        let variables = model.variables().len();
        let edges = model.edges();
        let onward = |(at, edge): (usize, &super::Edge)| (edge.from, edge.to) == (at, at + 1);
        let fits = |(at, edge)| onward((at, edge)) && keep(at);
        if edges.len() + 1 != variables || !edges.iter().enumerate().all(fits) {
            return None;
        }
        let mut spent = Spent::new(weights, budget);
        for edge in edges.iter().filter(|_| weights > 1) {
            spent.table(sizes[edge.from], meetings(model, edge, sizes))?;
        }
        let link = |edge: &super::Edge| Link::back_to(edge.from as u32, edge);
        let run = Run {
            places: 0..variables,
            context: 0..0,
            steps: 0..0,
            fixed: 0..0,
            child: NONE,
            sibling: NONE,
        };
        Some(Order {
            sequence: (0..variables as u32).rev().collect(),
            onward: edges.iter().rev().map(link).collect(),
            runs: vec![run],
            width: 1,
            ..Order::default()
        })
    }
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
}

struct Elimination {
    graph: Graph,
    sizes: Vec<u64>,
    spent: Spent,
    /// Fewest neighbours first, and the last variable among those. An entry is stale once the number of
    /// neighbours has changed.
    heap: BinaryHeap<(Reverse<usize>, u32)>,
    /// The place of each variable in the sequence.
    place: Vec<u32>,
    order: Order,
}

impl Elimination {
    fn new(graph: Graph, sizes: Vec<u64>, weights: usize, budget: Budget) -> Elimination {
        let near = graph.near.iter().zip(0..);
        Elimination {
            heap: near.map(|(near, v)| (Reverse(near.len()), v)).collect(),
            place: vec![NONE; sizes.len()],
            spent: Spent::new(weights, budget),
            order: Order::default(),
            graph,
            sizes,
        }
    }

    fn run(&mut self) {
        while let Some((Reverse(degree), variable)) = self.heap.pop() {
            let at = variable as usize;
            // A variable whose table is too large is dropped here; it comes back when one of its
            // neighbours is eliminated.
            let stale = self.place[at] != NONE || self.graph.near[at].len() != degree;
            if !stale && self.pay(at).is_some() {
                self.eliminate(variable);
            }
        }
    }

    fn pay(&mut self, variable: usize) -> Option<()> {
        let near = &self.graph.near[variable];
        if near.len() < 2 && self.spent.weights == 1 {
            return Some(());
        }
        let product = |links: &[Link], but: u32| {
            let others = links.iter().filter(|link| link.to != but);
            others
                .map(|link| self.sizes[link.to as usize])
                .try_fold(1, u64::checked_mul)
        };
        let cells = product(near, NONE)?;
        let pairs = match onward(near) {
            Some(at) => product(near, near[at].to)?.checked_mul(near[at].pairs)?,
            None => cells.checked_mul(self.sizes[variable])?,
        };
        self.spent.table(cells, pairs)
    }

    fn eliminate(&mut self, variable: u32) {
        self.place[variable as usize] = self.order.sequence.len() as u32;
        let links = self.graph.remove(variable, |neighbour, degree| {
            self.heap.push((Reverse(degree), neighbour));
        });
        self.order.width = self.order.width.max(links.len());
        self.bucket(variable, links);
    }

    /// Adds the elimination of a variable as a run of its own.
    fn bucket(&mut self, variable: u32, mut links: Vec<Link>) {
        let order = &mut self.order;
        let onward = onward(&links).map(|at| links.remove(at));
        let (start, context) = (order.sequence.len(), order.contexts.len());
        order.sequence.push(variable);
        order.contexts.extend(links.iter().map(|link| link.to));
        let steps = order.links.len();
        order.links.extend(links.iter().filter(|link| link.steps));
        let fixed = order.links.len();
        order.links.extend(self.graph.fixed(variable));
        order.onward.push(onward.unwrap_or(Link::NONE));
        order.runs.push(Run {
            places: start..start + 1,
            context: context..order.contexts.len(),
            steps: steps..fixed,
            fixed: fixed..order.links.len(),
            child: NONE,
            sibling: NONE,
        });
    }

    fn finish(mut self) -> Result<Order, Stuck> {
        let left = self.place.iter().zip(&self.graph.near);
        let left = left.filter(|(place, _)| **place == NONE);
        if let Some(width) = left.map(|(_, near)| near.len()).min() {
            return Err(Stuck { width });
        }
        self.link();
        self.order.join_runs();
        Ok(self.order)
    }

    /// Hands every table to the variable of its scope that is eliminated first. Parts that nothing
    /// connects are strung together, so that the last variable sees everything.
    fn link(&mut self) {
        let mut apart = NONE;
        for at in 0..self.order.runs.len() {
            let scope = self.order.scope(&self.order.runs[at]);
            let parent = scope.map(|v| self.place[v as usize]).min();
            let runs = &mut self.order.runs;
            match parent {
                Some(parent) => {
                    runs[at].sibling = runs[parent as usize].child;
                    runs[parent as usize].child = at as u32;
                }
                None => {
                    if apart != NONE {
                        runs[apart as usize].sibling = runs[at].child;
                        runs[at].child = apart;
                    }
                    apart = at as u32;
                }
            }
        }
    }
}

/// The link over which a table is handed on: one that nothing else joined here mentions, to the last
/// variable of those.
fn onward(links: &[Link]) -> Option<usize> {
    let alone = links.iter().enumerate();
    let alone = alone.filter(|(_, link)| link.steps && !link.shared);
    alone.max_by_key(|(_, link)| link.to).map(|(at, _)| at)
}

impl Order {
    /// Joins runs of one variable that only hand a table on.
    fn join_runs(&mut self) {
        let single = std::mem::take(&mut self.runs);
        let mut number = vec![NONE; single.len()];
        for (at, run) in single.iter().enumerate() {
            if at > 0 && self.goes_on(&single[at - 1], run, at) {
                number[at] = number[at - 1];
                if let Some(last) = self.runs.last_mut() {
                    last.places.end = run.places.end;
                    last.sibling = run.sibling;
                }
            } else {
                number[at] = self.runs.len() as u32;
                self.runs.push(run.clone());
            }
        }
        let renumber = |run: &mut u32| {
            if *run != NONE {
                *run = number[*run as usize];
            }
        };
        for run in &mut self.runs {
            renumber(&mut run.child);
            renumber(&mut run.sibling);
        }
    }

    /// Whether a run's only business is to hand on the table of the run before it.
    fn goes_on(&self, before: &Run, run: &Run, at: usize) -> bool {
        let only = run.child as usize == at - 1 && before.sibling == NONE;
        let handed = self.target(before.places.start).map(|link| link.to);
        let same = self.context(before) == self.context(run);
        let bare = run.steps.is_empty() && run.fixed.is_empty();
        only && same && bare && handed == Some(self.sequence[run.places.start])
    }
}
