//! The interaction graph: which variables share a term of the cost, or a table.

use super::model::Mark;
use super::order::NONE;
use super::{Edge, Model, StepRule};
use std::collections::BTreeMap;

/// All edges between two variables, seen from one of them; or a table that both are in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Link {
    /// The variable at the other end.
    pub to: u32,
    pub count: u64,
    pub rule: StepRule,
    /// Whether the boundary from here to there holds, and the one from there to here.
    pub onward: bool,
    pub back: bool,
    /// Whether there is a step at all.
    pub steps: bool,
    /// Whether both are in a table.
    pub shared: bool,
    /// So many pairs of values may meet at the most.
    pub pairs: u64,
}

impl Link {
    pub const NONE: Link = Link {
        to: NONE,
        count: 0,
        rule: StepRule::FREE,
        onward: false,
        back: false,
        steps: false,
        shared: false,
        pairs: u64::MAX,
    };

    /// An edge seen from the variable it leaves.
    pub fn onward_to(to: u32, edge: &Edge) -> Link {
        Link {
            to,
            count: edge.count,
            rule: edge.rule,
            onward: edge.bounded,
            steps: true,
            ..Link::NONE
        }
    }

    /// An edge seen from the variable it reaches.
    pub fn back_to(to: u32, edge: &Edge) -> Link {
        Link::onward_to(to, edge).turned(to)
    }

    /// The same link seen from the other end.
    pub fn turned(self, to: u32) -> Link {
        Link {
            to,
            onward: self.back,
            back: self.onward,
            ..self
        }
    }

    /// Whether any two rows may meet here.
    #[inline(always)]
    pub fn is_free(&self) -> bool {
        !self.onward && !self.back && self.rule.is_free()
    }

    fn absorb(&mut self, other: Link) {
        self.count += other.count;
        self.rule = self.rule.and(other.rule);
        self.onward |= other.onward;
        self.back |= other.back;
        self.steps |= other.steps;
        self.shared |= other.shared;
        self.pairs = self.pairs.min(other.pairs);
    }
}

/// The neighbours of every variable.
#[derive(Debug)]
pub(super) struct Graph {
    pub near: Vec<Vec<Link>>,
    /// The links to variables without a choice, by the variable they are seen from.
    fixed: Vec<(u32, Link)>,
}

impl Graph {
    /// The graph of the edges that `keep` names.
    pub fn new(model: &Model, sizes: &[u64], keep: impl Fn(usize) -> bool) -> Graph {
        let mut graph = Graph {
            near: vec![Vec::new(); sizes.len()],
            fixed: Vec::new(),
        };
        for (at, edge) in model.edges().iter().enumerate() {
            if edge.from != edge.to && keep(at) {
                graph.add(model, edge, sizes);
            }
        }
        graph.fixed.sort_by_key(|(variable, _)| *variable);
        graph
    }

    fn add(&mut self, model: &Model, edge: &Edge, sizes: &[u64]) {
        let (from, to) = (edge.from as u32, edge.to as u32);
        let pairs = meetings(model, edge, sizes);
        let onward = Link {
            pairs,
            ..Link::onward_to(to, edge)
        };
        let back = onward.turned(from);
        match (sizes[edge.from] > 1, sizes[edge.to] > 1) {
            (true, true) => {
                self.connect(from, onward);
                self.connect(to, back);
            }
            (true, false) => self.fixed.push((from, onward)),
            _ => self.fixed.push((to, back)),
        }
    }

    fn connect(&mut self, variable: u32, link: Link) {
        let near = &mut self.near[variable as usize];
        match near.iter_mut().find(|known| known.to == link.to) {
            Some(known) => known.absorb(link),
            None => near.push(link),
        }
    }

    /// The links of a variable to variables without a choice.
    pub fn fixed(&self, variable: u32) -> impl Iterator<Item = Link> + '_ {
        let start = self.fixed.partition_point(|(other, _)| *other < variable);
        let links = self.fixed[start..].iter();
        links
            .take_while(move |(other, _)| *other == variable)
            .map(|(_, link)| *link)
    }

    /// Takes a variable out, joins its neighbours with each other, and returns its links by the number
    /// of the neighbour. Tells of every neighbour how many neighbours it now has.
    pub fn remove(&mut self, variable: u32, mut tell: impl FnMut(u32, usize)) -> Vec<Link> {
        let mut links = std::mem::take(&mut self.near[variable as usize]);
        links.sort_unstable_by_key(|link| link.to);
        for link in &links {
            let near = &mut self.near[link.to as usize];
            near.retain(|known| known.to != variable);
            for other in links.iter().filter(|other| other.to != link.to) {
                let shared = Link {
                    to: other.to,
                    shared: true,
                    ..Link::NONE
                };
                self.connect(link.to, shared);
            }
            tell(link.to, self.near[link.to as usize].len());
        }
        links
    }
}

/// How many pairs of values may meet on an edge, as far as boundary numbers tell.
pub(super) fn meetings(model: &Model, edge: &Edge, sizes: &[u64]) -> u64 {
    let all = sizes[edge.from].saturating_mul(sizes[edge.to]);
    if !edge.bounded {
        return all;
    }
    let count = |variable: usize, number: fn(Mark) -> u32| {
        let mut counts: BTreeMap<u32, u64> = BTreeMap::new();
        for row in model.domain_of(variable as u32).rows.clone() {
            *counts.entry(number(model.mark(row))).or_default() += 1;
        }
        counts
    };
    let (out, into) = (
        count(edge.from, |mark| mark.out),
        count(edge.to, |mark| mark.into),
    );
    let pairs = out
        .iter()
        .map(|(number, count)| count * into.get(number).unwrap_or(&0));
    all.min(pairs.sum())
}
