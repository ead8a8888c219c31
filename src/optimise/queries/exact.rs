//! Solves a model whose tables are known to fit a budget.

use super::plan::Plan;
use crate::optimise::elimination::tables::Tables;
use crate::optimise::elimination_order::budget::Budget;
use crate::optimise::elimination_order::min_degree::{self, Unfinished};
use crate::optimise::elimination_order::order::Order;
use crate::optimise::factor_graph::cost::Cost;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::unsolvable::Unsolvable;
use crate::optimise::minimum::ends::MANY;
use crate::optimise::minimum::key_layout::KeyLayout;
use crate::optimise::minimum::rows::Rows;

impl Model {
    /// What the heaviest values of all variables weigh together.
    pub(in crate::optimise) fn heaviest(&self) -> usize {
        let variables = 0..self.variables().len() as u32;
        let heaviest = variables.map(|variable| self.domain_of(variable).extremes.weight as usize);
        heaviest.fold(0, usize::saturating_add)
    }

    pub(in crate::optimise) fn order(
        &self,
        rows: &Rows,
        weights: usize,
        budget: Budget,
    ) -> Result<Order<'_>, Unfinished> {
        min_degree::order(
            self,
            |variable| rows.size(variable),
            |_| true,
            weights,
            budget,
        )
    }

    /// The best choice among these rows, and what it costs.
    ///
    /// Where most pairs lie in large layers, effort alone is looked at first: every best plan has least
    /// effort, so it takes only rows that lie on a way of least effort, two or three of each variable.
    pub(in crate::optimise) fn exact(
        &self,
        order: &Order<'_>,
        rows: &Rows,
    ) -> Result<Option<(Vec<usize>, Cost)>, Unsolvable> {
        let full = KeyLayout::of(self, order.width, false).ok_or(Unsolvable::TooLarge)?;
        let mut left = None;
        if is_large(order, rows) {
            let effort = Tables::for_ties(self, order, rows);
            if effort.totals()[0].is_none() {
                return Ok(None);
            }
            left = Some(effort.ties());
        }
        let rows = left.as_ref().unwrap_or(rows);
        let tables = Tables::for_choice(self, order, rows, full);
        let Some(total) = tables.totals()[0] else {
            return Ok(None);
        };
        let mut choice = vec![0; self.variables().len()];
        tables.decide(&mut choice, 0);
        Ok(Some((rows.places(&choice), full.cost(total))))
    }

    /// The best choice among these rows of each group of total weights, up to the most that is told apart.
    pub(in crate::optimise) fn exact_of_weights(
        &self,
        order: &Order<'_>,
        rows: &Rows,
        most: usize,
        groups: &[Vec<usize>],
    ) -> Result<Vec<Option<Vec<usize>>>, Unsolvable> {
        let layout = KeyLayout::of(self, order.width, true).ok_or(Unsolvable::TooLarge)?;
        let tables = Tables::new(self, order, rows, layout, Some(most));
        let totals = tables.totals();
        let choice = |group: &Vec<usize>| {
            let possible = group.iter().filter_map(|&weight| {
                let total = totals.get(weight).copied().flatten()?;
                Some((total, weight))
            });
            let (_, weight) = possible.min_by_key(|(total, _)| *total)?;
            let mut choice = vec![0; self.variables().len()];
            tables.decide_weight(weight, &mut choice);
            Some(rows.places(&choice))
        };
        Ok(groups.iter().map(choice).collect())
    }

    /// A choice that is known to be the best.
    pub(in crate::optimise) fn proved(&self, choice: Vec<usize>, width: usize) -> Option<Plan> {
        let cost = self.cost(&choice)?;
        Some(Plan {
            choice,
            cost,
            lower_bound: cost,
            optimal: true,
            width,
        })
    }
}

pub(in crate::optimise) fn too_entangled(stuck: Unfinished) -> Unsolvable {
    Unsolvable::TooEntangled { width: stuck.width }
}

/// Whether most pairs of rows lie where layers are large.
fn is_large(order: &Order<'_>, rows: &Rows) -> bool {
    if rows.most() * rows.most() < MANY {
        return false;
    }
    let (mut many, mut few) = (0, 0);
    for (place, &variable) in order.sequence.iter().enumerate() {
        let target = order.target(place).map_or(0, |link| rows.size(link.to));
        match rows.size(variable) * target {
            pairs if pairs >= MANY => many += pairs,
            pairs => few += pairs,
        }
    }
    many > few
}
