//! What the best plan costs that takes a value, for every value.

use super::exact::too_entangled;
use crate::optimise::elimination::tables::Tables;
use crate::optimise::elimination_order::budget::Budget;
use crate::optimise::factor_graph::cost::Cost;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::unsolvable::Unsolvable;
use crate::optimise::minimum::key::NEVER;
use crate::optimise::minimum::key_layout::KeyLayout;
use crate::optimise::minimum::rows::Rows;

impl Model {
    /// For every value of every variable, what the best plan that takes it costs; `None` where the rules
    /// leave no such plan. The least number of each variable is the cost of [`Model::solve`].
    ///
    /// # Errors
    ///
    /// Those of [`Model::solve`]; [`Unsolvable::TooEntangled`] if the budget does not suffice, for a
    /// price that isn't exact is none.
    pub fn min_marginals(&self, budget: Budget) -> Result<Vec<Vec<Option<Cost>>>, Unsolvable> {
        self.check()?;
        let rows = Rows::all(self);
        let order = self.order(&rows, 1, budget).map_err(too_entangled)?;
        let layout = KeyLayout::of(self, order.width, false).ok_or(Unsolvable::TooLarge)?;
        let tables = Tables::new(self, &order, &rows, layout, None);
        let least = tables.totals().into_iter().flatten().next();
        let least = least.ok_or(Unsolvable::Impossible)?;
        let excess = tables.min_marginals();
        let cost = |&key: &u64| (key < NEVER).then(|| layout.cost(least + u128::from(key)));
        let variables = 0..self.variables().len() as u32;
        let costs =
            variables.map(|variable| excess[rows.span(variable)].iter().map(cost).collect());
        Ok(costs.collect())
    }

    /// For every value of every variable, the least effort of a plan that takes it; `None` where the rules
    /// leave no such plan. The other components of the cost are not looked at, so there is room for
    /// larger efforts than in [`Model::min_marginals`].
    ///
    /// # Errors
    ///
    /// Those of [`Model::min_marginals`].
    pub fn least_efforts(&self, budget: Budget) -> Result<Vec<Vec<Option<u64>>>, Unsolvable> {
        self.check()?;
        let rows = Rows::all(self);
        let order = self.order(&rows, 1, budget).map_err(too_entangled)?;
        if !KeyLayout::effort_fits(self) {
            return Err(Unsolvable::TooLarge);
        }
        let tables = Tables::new(self, &order, &rows, KeyLayout::EFFORT, None);
        let least = tables.totals().into_iter().flatten().next();
        let least = least.ok_or(Unsolvable::Impossible)?;
        let excess = tables.min_marginals();
        let effort = |&key: &u64| {
            (key < NEVER).then(|| KeyLayout::EFFORT.cost(least + u128::from(key)).effort)
        };
        let variables = 0..self.variables().len() as u32;
        let efforts =
            variables.map(|variable| excess[rows.span(variable)].iter().map(effort).collect());
        Ok(efforts.collect())
    }
}
