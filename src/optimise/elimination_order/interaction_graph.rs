//! The interaction graph: which variables share a term of the cost, or a table.

use super::adjacency::{Adjacency, NONE, meetings};
use crate::optimise::factor_graph::edge::Edge;
use crate::optimise::factor_graph::model::Model;
use std::ops::Range;

/// The neighbours of every variable.
#[derive(Debug)]
pub(in crate::optimise) struct Graph<'m> {
    model: &'m Model,
    pub sizes: &'m [u64],
    /// The links of every variable that is not inside a stretch.
    pub near: Vec<Vec<Adjacency>>,
    /// The links to variables without a choice, by the variable they are seen from.
    fixed: Vec<(u32, Adjacency)>,
    /// The edge that arrives from the variable before; [`NONE`] without one.
    back: Vec<u32>,
    /// Which variables are still inside a *stretch*: joined by one edge to the variable before and by one
    /// to the variable after, and to nothing else. Most variables of a page are, so they have no lists.
    inside: Vec<bool>,
}

impl<'m> Graph<'m> {
    /// The graph of the edges that `keep` names.
    pub fn new(model: &'m Model, sizes: &'m [u64], keep: impl Fn(usize) -> bool) -> Graph<'m> {
        let mut graph = Graph {
            model,
            sizes,
            near: vec![Vec::new(); sizes.len()],
            fixed: Vec::new(),
            back: vec![NONE; sizes.len()],
            inside: Vec::new(),
        };
        let kept = |(at, edge): &(usize, &Edge)| edge.from != edge.to && keep(*at);
        graph.find_stretches(model.edges().iter().enumerate().filter(kept));
        for (_, edge) in model.edges().iter().enumerate().filter(kept) {
            if !(graph.inside[edge.from] && graph.inside[edge.to]) {
                graph.add(edge);
            }
        }
        graph.fixed.sort_by_key(|(variable, _)| *variable);
        graph
    }

    fn find_stretches<'e>(&mut self, edges: impl Iterator<Item = (usize, &'e Edge)>) {
        let mut degrees = vec![0; self.sizes.len()];
        for (at, edge) in edges {
            degrees[edge.from] += 1;
            degrees[edge.to] += 1;
            if edge.from + 1 == edge.to {
                self.back[edge.to] = at as u32;
            }
        }
        self.inside = vec![false; degrees.len()];
        let edges = self.back.windows(2).skip(1);
        let around = self.sizes.windows(3).zip(edges).zip(degrees.iter().skip(1));
        for (inside, ((sizes, edges), &degree)) in self.inside.iter_mut().skip(1).zip(around) {
            let joined = degree == 2 && !edges.contains(&NONE);
            *inside = joined && sizes.iter().all(|&size| size > 1);
        }
    }

    fn add(&mut self, edge: &Edge) {
        let (from, to) = (edge.from as u32, edge.to as u32);
        let (first, last) = (self.is_inside(from), self.is_inside(to));
        let onward = self.onward(edge);
        let back = onward.turned(from);
        match (self.sizes[edge.from] > 1, self.sizes[edge.to] > 1) {
            (true, true) => {
                if !first {
                    self.connect(from, onward);
                }
                if !last {
                    self.connect(to, back);
                }
            }
            (true, false) => self.fixed.push((from, onward)),
            _ => self.fixed.push((to, back)),
        }
    }

    fn onward(&self, edge: &Edge) -> Adjacency {
        Adjacency {
            pairs: meetings(self.model, edge, |variable| self.sizes[variable as usize]),
            ..Adjacency::onward_to(edge.to as u32, edge)
        }
    }

    /// The link from a variable inside a stretch to the one before.
    pub fn back(&self, variable: u32) -> Adjacency {
        let edge = self.back[variable as usize];
        self.onward(&self.model.edges()[edge as usize])
            .turned(variable - 1)
    }

    /// Whether a variable is still inside a stretch.
    pub fn is_inside(&self, variable: u32) -> bool {
        self.inside.get(variable as usize) == Some(&true)
    }

    /// How many neighbours a variable has.
    pub fn degree(&self, variable: u32) -> usize {
        match self.is_inside(variable) {
            true => 2,
            false => self.near[variable as usize].len(),
        }
    }

    /// Gives a variable at the end of a stretch a list of its own. Tells of the variable before, if that
    /// is now the end.
    pub fn leave_stretch(&mut self, variable: u32, mut tell: impl FnMut(u32, usize)) {
        if !self.is_inside(variable) {
            return;
        }
        self.inside[variable as usize] = false;
        let next = self.back[variable as usize + 1];
        let next = self.onward(&self.model.edges()[next as usize]);
        self.near[variable as usize] = vec![self.back(variable), next];
        if self.is_inside(variable - 1) {
            tell(variable - 1, 2);
        }
    }

    /// Takes variables inside a stretch out, and gives them from the last to the first, each with the edge
    /// from the variable before. Their neighbours are seen to by [`Graph::rejoin`].
    pub fn leave_behind(&mut self, variables: Range<usize>) -> impl Iterator<Item = (u32, u32)> {
        self.inside[variables.clone()].fill(false);
        let first = variables.start as u32;
        let numbers = first..variables.end as u32;
        let edges = numbers.rev().zip(self.back[variables].iter().rev());
        edges.map(|(variable, &edge)| (variable, edge))
    }

    /// After the variables from `last` down to the one after `next` were taken out: joins `next` with the
    /// context that they all had. Tells of every variable how many neighbours it now has.
    pub fn rejoin(
        &mut self,
        last: u32,
        next: u32,
        context: Option<Adjacency>,
        mut tell: impl FnMut(u32, usize),
    ) {
        self.inside[next as usize] = false;
        self.near[next as usize] = vec![self.back(next)];
        if self.is_inside(next - 1) {
            tell(next - 1, 2);
        }
        if let Some(context) = context {
            self.connect(next, context);
            self.near[context.to as usize].retain(|known| known.to != last);
            self.connect(context.to, Adjacency::shared(next));
            tell(context.to, self.degree(context.to));
        }
        tell(next, self.degree(next));
    }

    fn connect(&mut self, variable: u32, link: Adjacency) {
        let near = &mut self.near[variable as usize];
        match near.iter_mut().find(|known| known.to == link.to) {
            Some(known) => known.absorb(link),
            None => near.push(link),
        }
    }

    /// The links of a variable to variables without a choice.
    pub fn fixed(&self, variable: u32) -> impl Iterator<Item = Adjacency> + '_ {
        let start = self.fixed.partition_point(|(other, _)| *other < variable);
        let links = self.fixed[start..].iter();
        links
            .take_while(move |(other, _)| *other == variable)
            .map(|(_, link)| *link)
    }

    /// Takes the links of a variable away, by the number of the neighbour.
    pub fn take(&mut self, variable: u32) -> Vec<Adjacency> {
        let mut links = std::mem::take(&mut self.near[variable as usize]);
        links.sort_unstable_by_key(|link| link.to);
        links
    }

    /// Takes a variable out, joins its neighbours with each other, and returns its links by the number
    /// of the neighbour. Tells of every neighbour how many neighbours it now has.
    pub fn remove(&mut self, variable: u32, mut tell: impl FnMut(u32, usize)) -> Vec<Adjacency> {
        let links = self.take(variable);
        for link in &links {
            self.leave_stretch(link.to, &mut tell);
        }
        for link in &links {
            self.near[link.to as usize].retain(|known| known.to != variable);
            for other in links.iter().filter(|other| other.to != link.to) {
                self.connect(link.to, Adjacency::shared(other.to));
            }
            tell(link.to, self.near[link.to as usize].len());
        }
        links
    }
}
