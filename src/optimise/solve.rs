//! What can be asked of a model.

use super::bound;
use super::exact::too_entangled;
use super::key::NEVER;
use super::key_layout::KeyLayout;
use super::rows::Rows;
use super::tables::Tables;
use super::{Budget, ByWeight, Cost, Model, Plan, Unsolvable};

impl Model {
    /// The plan of least cost.
    ///
    /// Among plans of equal cost: the variables are decided one after another, each taking the first
    /// value that still allows the least cost. They are decided in the reverse of the order in which
    /// they are eliminated, and eliminated by the fewest neighbours, the last variable among equals. On a
    /// straight page that is from the first variable to the last.
    ///
    /// # Example
    ///
    /// Single numbers, starting at 0. Taking what is nearest goes up to 2, but then has to come all the
    /// way down: 2 + 7 + 5 = 14. The least motion takes the longer first step: 3 + 2 + 5 = 10. (In the
    /// third variable only -5 can be had, in the fourth -10 or 5.)
    ///
    /// ```
    /// use compline::optimise::{Budget, Edge, Model, Row, Value};
    ///
    /// let mut model = Model::new();
    /// for rows in [&[0][..], &[2, -3], &[-5], &[-10, 5]] {
    ///     let values = rows.iter().filter_map(|&entry| Row::new(vec![entry])).map(Value::new);
    ///     let domain = model.domain(values);
    ///     let variable = model.variable(domain, 1);
    ///     if variable > 0 {
    ///         model.edge(Edge::new(variable - 1, variable));
    ///     }
    /// }
    /// let plan = model.solve(Budget::default())?;
    /// assert_eq!(plan.choice, [0, 1, 0, 0]);
    /// assert_eq!((plan.cost.effort, plan.optimal), (10, true));
    /// # Ok::<(), compline::optimise::Unsolvable>(())
    /// ```
    ///
    /// # Complexity
    ///
    /// With w neighbours at most and k values a variable, k^(w+1) sums for each variable: in proportion
    /// to the number of variables as long as the model is nearly a chain. If that is more than the
    /// budget, the plan is the best one found by deciding part after part anew, and says that it isn't
    /// proved to be the least.
    ///
    /// # Errors
    ///
    /// [`Unsolvable::NoValues`], [`Unsolvable::Unknown`], [`Unsolvable::TooLarge`];
    /// [`Unsolvable::Impossible`] if the rules leave no plan; [`Unsolvable::NoneFound`] if that could not
    /// be decided within the budget.
    pub fn solve(&self, budget: Budget) -> Result<Plan, Unsolvable> {
        self.check()?;
        let rows = Rows::all(self);
        match self.order(&rows, 1, budget) {
            Ok(order) => {
                let (choice, cost) = self.exact(&order, &rows)?.ok_or(Unsolvable::Impossible)?;
                Ok(Plan::proved(choice, cost, order.width))
            }
            Err(stuck) => bound::solve(self, &rows, stuck.width, budget),
        }
    }

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
                let found = bound::by_weight(self, &rows, most, stuck.width, budget)?;
                Ok(found.of_groups(groups))
            }
        }
    }
}
