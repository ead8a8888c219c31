//! The exact plan when candidates also weigh something: the least cost for
//! every total weight.

mod decide;
mod ladder;
mod net;
mod state;
mod tables;

#[cfg(test)]
mod tests;

pub use ladder::{Ladder, Solution};
pub use state::{CHANNELS, Joint, Labels, Passage, Point, State};

use super::cost::{IMPOSSIBLE, unpack};
use super::{Budget, Unsolvable, order};
use net::Net;
use tables::{Tables, Tree};

/// Points that a performance passes through, each decided once, with
/// states that weigh something.
#[derive(Clone, Debug)]
pub struct Lattice<'a> {
    points: &'a [Point],
    centre: i32,
    passages: Vec<Passage>,
}

impl<'a> Lattice<'a> {
    /// The lattice of these points.
    pub fn new(points: &'a [Point], centre: i32, passages: Vec<Passage>) -> Lattice<'a> {
        Lattice {
            points,
            centre,
            passages,
        }
    }

    /// For every total weight from 0 to `most` the choice of least cost.
    ///
    /// # Errors
    ///
    /// todo
    pub fn solve(&self, most: usize, budget: Budget) -> Result<Ladder, Unsolvable> {
        let net = Net::new(self.points, &self.passages, self.centre)?;
        let counts = u64::try_from(most).unwrap_or(u64::MAX).saturating_add(1);
        let cells = budget.cells / counts;
        let order = order::order_web(net.web(), cells);
        let order = order.map_err(|stuck| Unsolvable::TooEntangled { width: stuck.width })?;
        let width = order.width;
        let tree = Tree::new(&net, order, most);
        let tables = Tables::run(&net, tree);
        Ok(Ladder {
            rungs: rungs(&tables, most),
            width,
        })
    }
}

/// Reads the best choices off the tables.
fn rungs(tables: &Tables<'_>, most: usize) -> Vec<Option<Solution>> {
    let net = tables.net;
    let mut rungs = vec![None; most.saturating_add(1)];
    let keys = tables.totals().iter().enumerate();
    let keys = keys.map(|(weight, key)| (weight, super::network::join(*key, net.constant)));
    let possible: Vec<(usize, u128)> = keys.filter(|(_, key)| *key < IMPOSSIBLE).collect();
    let weights: Vec<usize> = possible.iter().map(|(weight, _)| *weight).collect();
    let choices = decide::first_choices(tables, &weights);
    for ((weight, key), choice) in possible.into_iter().zip(choices) {
        let weight = net.weight.saturating_add(weight as u64);
        let rung = usize::try_from(weight)
            .ok()
            .and_then(|weight| rungs.get_mut(weight));
        if let Some(rung) = rung {
            let cost = unpack(key);
            *rung = Some(Solution {
                choice,
                weight,
                cost,
                lower_bound: cost,
                optimal: true,
            });
        }
    }
    rungs
}
