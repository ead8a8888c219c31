//! The few cheapest plans.

use super::exact::too_entangled;
use super::plan::Plan;
use crate::optimise::elimination::tables::Tables;
use crate::optimise::elimination_order::budget::Budget;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::unsolvable::Unsolvable;
use crate::optimise::minimum::key_layout::KeyLayout;
use crate::optimise::minimum::rows::Rows;

impl Model {
    /// The `count` cheapest plans, all different, cheapest first, the first being that of
    /// [`Model::solve`]; fewer if there are no more. Plans of equal cost come in the order described
    /// there: the first variable decided in which they differ has the earlier value first.
    ///
    /// # Errors
    ///
    /// Those of [`Model::min_marginals`].
    pub fn k_best(&self, count: usize, budget: Budget) -> Result<Vec<Plan>, Unsolvable> {
        self.check()?;
        let rows = Rows::all(self);
        let order = self.order(&rows, 1, budget).map_err(too_entangled)?;
        let layout = KeyLayout::of(self, order.width, false).ok_or(Unsolvable::TooLarge)?;
        let tables = Tables::new(self, &order, &rows, layout, None);
        if tables.totals()[0].is_none() {
            return Err(Unsolvable::Impossible);
        }
        let found = tables.k_best(count).into_iter();
        let plans = found.filter_map(|choice| self.proved(rows.places(&choice), order.width));
        Ok(plans.collect())
    }
}
