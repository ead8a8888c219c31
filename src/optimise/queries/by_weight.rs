//! The best plan of every total weight.

use super::lower_bound;
use super::plans_by_weight::ByWeight;
use crate::optimise::elimination_order::budget::Budget;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::unsolvable::Unsolvable;
use crate::optimise::minimum::rows::Rows;

impl Model {
    /// For every total weight from 0 to `most` the plan of least cost of exactly that weight.
    ///
    /// # Errors
    ///
    /// Those of [`Model::solve`]. That nothing is possible is no error: all plans are then missing.
    pub fn best_by_weight(&self, most: usize, budget: Budget) -> Result<ByWeight, Unsolvable> {
        let weights = 0..=most.min(self.heaviest());
        self.best_of_weights(
            &weights.map(|weight| vec![weight]).collect::<Vec<_>>(),
            budget,
        )
    }

    /// For every group of total weights the plan of least cost that weighs what one of them says; among
    /// equals the one of the weight named first. Only these plans are decided.
    ///
    /// # Errors
    ///
    /// Those of [`Model::best_by_weight`].
    pub fn best_of_weights(
        &self,
        groups: &[Vec<usize>],
        budget: Budget,
    ) -> Result<ByWeight, Unsolvable> {
        self.check()?;
        let most = groups.iter().flatten().copied().max().unwrap_or(0);
        let most = most.min(self.heaviest());
        let rows = Rows::all(self);
        match self.order(&rows, most.saturating_add(1), budget) {
            Ok(order) => {
                let plans = self.exact_of_weights(&order, &rows, most, groups)?;
                let plans = plans
                    .into_iter()
                    .map(|choice| self.proved(choice?, order.width));
                Ok(ByWeight::exact(plans.collect()))
            }
            Err(stuck) => {
                let found = lower_bound::by_weight(self, &rows, most, stuck.width, budget)?;
                Ok(found.of_groups(groups))
            }
        }
    }
}
