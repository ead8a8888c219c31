//! The most that the terms of a model can add up to, counted as they are added.

use super::edge::Edge;
use super::extremes::{Extremes, span};

/// The most that each component of the cost can be, over all variables and edges.
#[derive(Clone, Debug)]
pub(in crate::optimise) struct TermTotals {
    pub effort: u64,
    pub largest: u64,
    pub off_centre: u64,
    /// The effort of the terms that name one variable, where that is most.
    pub share: u64,
    /// Whether any two values may meet on every edge.
    pub free: bool,
    /// Whether a sum, or the number of all visits and steps together, leaves 64 bits.
    pub too_large: bool,
    /// The effort of the terms that name each variable.
    shares: Vec<u64>,
    taken: u64,
}

impl Default for TermTotals {
    fn default() -> TermTotals {
        TermTotals {
            effort: 0,
            largest: 0,
            off_centre: 0,
            share: 0,
            free: true,
            too_large: false,
            shares: Vec::new(),
            taken: 0,
        }
    }
}

impl TermTotals {
    /// Counts the next variable.
    pub fn add_variable(&mut self, visits: u64, extremes: &Extremes) {
        self.taken = self.sum(self.taken, visits);
        let own = self.product(visits, extremes.effort);
        let off_centre = self.product(visits, extremes.off_centre);
        self.effort = self.sum(self.effort, own);
        self.off_centre = self.sum(self.off_centre, off_centre);
        self.share = self.share.max(own);
        self.shares.push(own);
    }

    /// Counts an edge between variables of which these are the extremes.
    ///
    /// With every entry between the lowest and the highest of both ends, the pairing that goes in order and
    /// sends all that the longer row has left to the shorter row's last entry moves no more than the span
    /// for each entry of the longer row; the least pairing costs no more than this one.
    pub fn add_edge(&mut self, edge: &Edge, from: &Extremes, to: &Extremes) {
        self.taken = self.sum(self.taken, edge.count);
        if edge.from == edge.to {
            return;
        }
        let largest = self.product(span(from, to), edge.count);
        let motion = self.product(largest, from.longest.max(to.longest));
        self.largest = self.sum(self.largest, largest);
        self.effort = self.sum(self.effort, motion);
        for end in [edge.from, edge.to] {
            self.shares[end] = self.sum(self.shares[end], motion);
            self.share = self.share.max(self.shares[end]);
        }
        self.free &= !edge.bounded && edge.rule.is_free();
    }

    fn product(&mut self, a: u64, b: u64) -> u64 {
        let (product, over) = a.overflowing_mul(b);
        self.too_large |= over;
        product
    }

    fn sum(&mut self, a: u64, b: u64) -> u64 {
        let (sum, over) = a.overflowing_add(b);
        self.too_large |= over;
        sum
    }
}
