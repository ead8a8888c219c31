//! One exact solution: order, tables, decision.

use super::decide;
use super::net::Net;
use super::state::{Passage, Point};
use super::tables::{Tables, Tree};
use crate::plan::cost::{IMPOSSIBLE, Key};
use crate::plan::network::join;
use crate::plan::{Unsolvable, order};

/// What is asked.
#[derive(Clone, Copy, Debug)]
pub(super) struct Problem<'a> {
    pub(super) points: &'a [Point],
    pub(super) passages: &'a [Passage],
    pub(super) centre: i32,
    /// The greatest weight asked for.
    pub(super) most: usize,
    /// The most combinations of states that may be looked at for one point.
    pub(super) cells: u64,
    /// The most costs that all tables may hold.
    pub(super) costs: u64,
}

/// A choice and what it costs.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub(super) key: Key,
    pub(super) choice: Vec<usize>,
}

/// The best choice of every weight up to the most, `None` where there is none.
pub(super) struct Exact {
    pub(super) found: Vec<Option<Found>>,
    pub(super) width: usize,
}

impl<'a> Problem<'a> {
    pub(super) fn net(&self) -> Result<Net<'a>, Unsolvable> {
        Net::new(self.points, self.passages, self.centre)
    }
}

/// Solves the problem, or says why that takes too much:
/// [`Unsolvable::TooEntangled`], [`Unsolvable::OverBudget`].
pub(super) fn solve(problem: &Problem<'_>, net: &Net<'_>) -> Result<Exact, Unsolvable> {
    let all = vec![true; net.passages.len()];
    let order = order::order_web(net.web(&all), problem.cells);
    let order = order.map_err(|stuck| Unsolvable::TooEntangled { width: stuck.width })?;
    let width = order.width;
    let tree = Tree::new(net, order, problem.most);
    // The choices are kept as well, one for every weight.
    let choices = (problem.most as u64).saturating_add(1);
    let choices = choices.saturating_mul(net.points.len() as u64 + 1);
    let costs = tree.costs(net).saturating_add(choices);
    if costs > problem.costs {
        return Err(Unsolvable::OverBudget { costs });
    }
    Ok(Exact {
        found: found(&Tables::run(net, tree), problem.most),
        width,
    })
}

fn found(tables: &Tables<'_>, most: usize) -> Vec<Option<Found>> {
    let net = tables.net;
    let mut found = vec![None; most + 1];
    // What the points without a choice weigh was never counted.
    let fixed = usize::try_from(net.weight).unwrap_or(usize::MAX);
    let open = found.len().saturating_sub(fixed);
    let keys = tables.totals().iter().map(|&key| join(key, net.constant));
    let possible: Vec<(usize, Key)> = (0..open)
        .zip(keys)
        .filter(|(_, key)| *key < IMPOSSIBLE)
        .collect();
    let weights: Vec<usize> = possible.iter().map(|(weight, _)| *weight).collect();
    let choices = decide::first_choices(tables, &weights);
    for ((weight, key), choice) in possible.into_iter().zip(choices) {
        found[fixed + weight] = Some(Found { key, choice });
    }
    found
}
