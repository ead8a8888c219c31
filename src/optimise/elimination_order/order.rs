//! In which order variables are eliminated, and what each elimination has to join.
//!
//! Eliminating a variable joins all its neighbours in one table, and from then on they are neighbours of
//! each other. Taking the variable with the fewest neighbours first (minimum degree), the last one among
//! equals, keeps the tables small on models that are nearly chains. A variable with a single value has no
//! neighbours: what its steps cost is a cost of the values at their other end.
//!
//! Consecutive eliminations that only hand one table on are one *run*: a whole straight page is a single
//! one. Nothing here looks at rows; sizes are enough.

use super::adjacency::{Adjacency, NONE};
use crate::optimise::factor_graph::edge::Edge;
use crate::optimise::factor_graph::model::Model;
use std::ops::Range;

/// An order of elimination, run by run.
#[derive(Debug)]
pub(in crate::optimise) struct Order<'m> {
    edges: &'m [Edge],
    /// The variables as they are eliminated.
    pub sequence: Vec<u32>,
    pub runs: Vec<BucketRun>,
    /// Of each place in the sequence the link over which its table is handed on.
    onward: Vec<Onward>,
    contexts: Vec<u32>,
    links: Vec<Adjacency>,
    /// The most neighbours that a variable had when it was eliminated.
    pub width: usize,
}

/// The link over which a table is handed on. Most are single edges: kept by their numbers they take a quarter
/// of the memory.
#[derive(Clone, Copy, Debug)]
enum Onward {
    /// There is none.
    Nowhere,
    /// An edge of the model, from the variable that it reaches back to the one that it leaves.
    Back(u32),
    /// One of the order's links.
    Listed(u32),
}

/// Variables that are eliminated one after the other, each handing on to the next a table over it and
/// over the *context*, which is the same for all of them.
#[derive(Clone, Debug)]
pub(in crate::optimise) struct BucketRun {
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

impl BucketRun {
    /// A run of these places, without a context, that joins no other tables.
    pub fn of(places: Range<usize>) -> BucketRun {
        BucketRun {
            places,
            context: 0..0,
            steps: 0..0,
            fixed: 0..0,
            child: NONE,
            sibling: NONE,
        }
    }
}

impl<'m> Order<'m> {
    /// The variables over which all tables of a run stretch, beside the one each is handed to.
    #[inline(always)]
    pub fn context(&self, run: &BucketRun) -> &[u32] {
        &self.contexts[run.context.clone()]
    }

    /// The links of a run's first variable into the context.
    pub fn steps(&self, run: &BucketRun) -> &[Adjacency] {
        &self.links[run.steps.clone()]
    }

    /// The links of a run's first variable to variables without a choice.
    pub fn fixed(&self, run: &BucketRun) -> &[Adjacency] {
        &self.links[run.fixed.clone()]
    }

    /// The runs whose tables are joined at a run's first variable.
    pub fn children(&self, run: &BucketRun) -> impl Iterator<Item = usize> + '_ {
        let mut next = run.child;
        std::iter::from_fn(move || {
            let child = (next != NONE).then_some(next as usize)?;
            next = self.runs[child].sibling;
            Some(child)
        })
    }

    /// The variable to which the table of a place is handed over a link, if it is.
    #[inline(always)]
    pub fn target(&self, place: usize) -> Option<Adjacency> {
        match *self.onward.get(place)? {
            Onward::Nowhere => None,
            Onward::Back(edge) => {
                let edge = &self.edges[edge as usize];
                Some(Adjacency::back_to(edge.from as u32, edge))
            }
            Onward::Listed(link) => Some(self.links[link as usize]),
        }
    }

    /// The scope of a run's last table: the context, then the target.
    pub fn scope(&self, run: &BucketRun) -> impl DoubleEndedIterator<Item = u32> + Clone + '_ {
        let target = self.target(run.places.end - 1).map(|link| link.to);
        self.context(run).iter().copied().chain(target)
    }

    /// An order of nothing yet, with room for all variables of a model.
    pub fn of(model: &'m Model) -> Order<'m> {
        let variables = model.variables().len();
        Order {
            edges: model.edges(),
            sequence: Vec::with_capacity(variables),
            runs: Vec::new(),
            onward: Vec::with_capacity(variables),
            contexts: Vec::new(),
            links: Vec::new(),
            width: 0,
        }
    }

    /// The order of a straight page, from the last variable to the first, as a single run.
    pub fn straight(model: &'m Model) -> Order<'m> {
        let mut order = Order::of(model);
        let variables = model.variables().len();
        order.sequence.extend((0..variables as u32).rev());
        let edges = 0..model.edges().len() as u32;
        order.onward.extend(edges.rev().map(Onward::Back));
        order.runs.push(BucketRun::of(0..variables));
        order.width = 1;
        order
    }

    /// Adds a variable as a run of its own, with the link over which its table is handed on, the links
    /// into its context, and those to variables without a choice.
    pub fn push(
        &mut self,
        variable: u32,
        onward: Option<Adjacency>,
        context: &[Adjacency],
        fixed: impl Iterator<Item = Adjacency>,
    ) {
        let (place, start) = (self.sequence.len(), self.contexts.len());
        self.sequence.push(variable);
        self.contexts.extend(context.iter().map(|link| link.to));
        let steps = self.links.len();
        self.links.extend(context.iter().filter(|link| link.steps));
        let middle = self.links.len();
        self.links.extend(fixed);
        let end = self.links.len();
        self.links.extend(onward);
        let listed = Onward::Listed(end as u32);
        self.onward.push(onward.map_or(Onward::Nowhere, |_| listed));
        self.runs.push(BucketRun {
            context: start..self.contexts.len(),
            steps: steps..middle,
            fixed: middle..end,
            ..BucketRun::of(place..place + 1)
        });
    }

    /// Adds variables to the last run, each of which hands its table back over an edge.
    pub fn go_on(&mut self, variables: impl Iterator<Item = (u32, u32)>) {
        for (variable, edge) in variables {
            self.sequence.push(variable);
            self.onward.push(Onward::Back(edge));
        }
        if let Some(last) = self.runs.last_mut() {
            last.places.end = self.sequence.len();
        }
    }

    /// Hands every table to the variable of its scope that is eliminated first, of which it is known in
    /// which run. Parts that nothing connects are strung together, so that the last variable sees
    /// everything.
    pub fn link(&mut self, run_of: &[u32]) {
        let mut apart = NONE;
        for at in 0..self.runs.len() {
            let scope = self.scope(&self.runs[at]);
            let parent = scope.map(|v| run_of[v as usize]).min();
            let runs = &mut self.runs;
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

    /// Joins runs that only hand a table on.
    pub fn join_runs(&mut self) {
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
    fn goes_on(&self, before: &BucketRun, run: &BucketRun, at: usize) -> bool {
        let only = run.child as usize == at - 1 && before.sibling == NONE;
        let handed = self.target(before.places.end - 1).map(|link| link.to);
        let same = self.context(before) == self.context(run);
        let bare = run.steps.is_empty() && run.fixed.is_empty();
        only && same && bare && handed == Some(self.sequence[run.places.start])
    }
}
