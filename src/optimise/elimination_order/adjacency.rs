//! What joins two variables: all edges between them, or a table that both are in.

use crate::optimise::factor_graph::edge::Edge;
use crate::optimise::factor_graph::model::{Model, RowLabels};
use crate::optimise::factor_graph::rule::StepRule;

/// No variable.
pub(in crate::optimise) const NONE: u32 = u32::MAX;

/// All edges between two variables, seen from one of them; or a table that both are in.
#[derive(Clone, Copy, Debug)]
pub(in crate::optimise) struct Adjacency {
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

impl Adjacency {
    const NONE: Adjacency = Adjacency {
        to: NONE,
        count: 0,
        rule: StepRule::FREE,
        onward: false,
        back: false,
        steps: false,
        shared: false,
        pairs: u64::MAX,
    };

    /// A table that both ends are in.
    pub fn shared(to: u32) -> Adjacency {
        Adjacency {
            to,
            shared: true,
            ..Adjacency::NONE
        }
    }

    /// An edge seen from the variable it leaves.
    pub fn onward_to(to: u32, edge: &Edge) -> Adjacency {
        Adjacency {
            to,
            count: edge.count,
            rule: edge.rule,
            onward: edge.bounded,
            steps: true,
            ..Adjacency::NONE
        }
    }

    /// An edge seen from the variable it reaches.
    pub fn back_to(to: u32, edge: &Edge) -> Adjacency {
        Adjacency::onward_to(to, edge).turned(to)
    }

    /// The same link seen from the other end.
    pub fn turned(self, to: u32) -> Adjacency {
        Adjacency {
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

    /// Adds what else joins both ends.
    pub fn absorb(&mut self, other: Adjacency) {
        self.count += other.count;
        self.rule = self.rule.and(other.rule);
        self.onward |= other.onward;
        self.back |= other.back;
        self.steps |= other.steps;
        self.shared |= other.shared;
        self.pairs = self.pairs.min(other.pairs);
    }
}

/// How many pairs of values may meet on an edge, as far as boundary numbers tell.
#[inline(always)]
pub(in crate::optimise) fn meetings(model: &Model, edge: &Edge, size: impl Fn(u32) -> u64) -> u64 {
    let all = size(edge.from as u32).saturating_mul(size(edge.to as u32));
    match edge.bounded {
        true => all.min(bounded_meetings(model, edge)),
        false => all,
    }
}

fn bounded_meetings(model: &Model, edge: &Edge) -> u64 {
    let sorted = |variable: usize, number: fn(RowLabels) -> u32| {
        let rows = model.domain_of(variable as u32).rows.clone();
        let mut numbers: Vec<u32> = rows.map(|row| number(model.mark(row))).collect();
        numbers.sort_unstable();
        numbers
    };
    let out = sorted(edge.from, |mark| mark.out);
    let into = sorted(edge.to, |mark| mark.into);
    let mut into = into.chunk_by(|a, b| a == b).peekable();
    let pairs = out.chunk_by(|a, b| a == b).map(|out| {
        while into.next_if(|into| into[0] < out[0]).is_some() {}
        let same = into.next_if(|into| into[0] == out[0]);
        out.len() as u64 * same.map_or(0, <[u32]>::len) as u64
    });
    pairs.sum()
}
