//! What can be asked of a model.

use super::bound;
use super::cost::{NEVER, Scale};
use super::min_plus::MANY;
use super::order::{Order, Stuck};
use super::rows::Rows;
use super::tables::Tables;
use super::{Budget, ByWeight, Cost, Model, Unsolvable};

/// One value for every variable, and how sure it is that no choice costs less.
///
/// Always `lower_bound` <= least possible cost <= `cost`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// Of each variable the value taken, by its place in the domain.
    pub choice: Vec<usize>,
    /// The cost of this choice.
    pub cost: Cost,
    /// What any choice costs at least. Equal to `cost` if that is proved least.
    pub lower_bound: Cost,
    /// Whether the cost is proved to be the least; in a ranking, whether the place is proved.
    pub optimal: bool,
    /// How many neighbours the most entangled variable had when it was eliminated: 1 on a straight page,
    /// 2 on a loop; if that was too many, the least number among those left.
    pub width: usize,
}

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
                let choice = self.exact(&order, &rows)?.ok_or(Unsolvable::Impossible)?;
                self.proved(choice, order.width)
                    .ok_or(Unsolvable::Impossible)
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
        let scale = Scale::of(self, order.width, false).ok_or(Unsolvable::TooLarge)?;
        let tables = Tables::new(self, &order, &rows, scale, None);
        let least = tables.totals().into_iter().flatten().next();
        let least = least.ok_or(Unsolvable::Impossible)?;
        let excess = tables.min_marginals();
        let cost = |&key: &u64| (key < NEVER).then(|| scale.cost(least + u128::from(key)));
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
        // Nothing overflows where the whole cost would fit.
        Scale::effort_fits(self).ok_or(Unsolvable::TooLarge)?;
        let tables = Tables::new(self, &order, &rows, Scale::EFFORT, None);
        let least = tables.totals().into_iter().flatten().next();
        let least = least.ok_or(Unsolvable::Impossible)?;
        let excess = tables.min_marginals();
        let effort =
            |&key: &u64| (key < NEVER).then(|| Scale::EFFORT.cost(least + u128::from(key)).effort);
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
        let scale = Scale::of(self, order.width, false).ok_or(Unsolvable::TooLarge)?;
        let tables = Tables::new(self, &order, &rows, scale, None);
        if tables.totals()[0].is_none() {
            return Err(Unsolvable::Impossible);
        }
        let found = tables.k_best(count).into_iter();
        let plans = found.filter_map(|choice| self.proved(rows.places(self, &choice), order.width));
        Ok(plans.collect())
    }

    /// For every total weight from 0 to `most` the plan of least cost of exactly that weight.
    ///
    /// # Errors
    ///
    /// Those of [`Model::solve`]. That nothing is possible is no error: all plans are then missing.
    pub fn best_by_weight(&self, most: usize, budget: Budget) -> Result<ByWeight, Unsolvable> {
        self.check()?;
        let most = most.min(self.heaviest());
        let rows = Rows::all(self);
        match self.order(&rows, most.saturating_add(1), budget) {
            Ok(order) => {
                let plans = self.exact_by_weight(&order, &rows, most)?;
                let plans = plans
                    .into_iter()
                    .map(|choice| self.proved(choice?, order.width));
                Ok(ByWeight::exact(plans.collect()))
            }
            Err(stuck) => bound::by_weight(self, &rows, most, stuck.width, budget),
        }
    }

    /// What the heaviest values of all variables weigh together.
    pub(super) fn heaviest(&self) -> usize {
        let variables = 0..self.variables().len() as u32;
        let heaviest = variables.map(|variable| self.domain_of(variable).extremes.weight as usize);
        heaviest.fold(0, usize::saturating_add)
    }

    pub(super) fn order(
        &self,
        rows: &Rows,
        weights: usize,
        budget: Budget,
    ) -> Result<Order, Stuck> {
        Order::new(
            self,
            |variable| rows.size(variable),
            |_| true,
            weights,
            budget,
        )
    }

    /// The best choice among these rows.
    ///
    /// Where most pairs lie in large layers, effort alone is looked at first: every best plan has least
    /// effort, so it takes only rows that lie on a way of least effort, two or three of each variable.
    pub(super) fn exact(
        &self,
        order: &Order,
        rows: &Rows,
    ) -> Result<Option<Vec<usize>>, Unsolvable> {
        let full = Scale::of(self, order.width, false).ok_or(Unsolvable::TooLarge)?;
        let mut left = None;
        if is_large(order, rows) {
            let effort = Tables::new(self, order, rows, Scale::EFFORT, None);
            if effort.totals()[0].is_none() {
                return Ok(None);
            }
            left = Some(effort.ties());
        }
        let rows = left.as_ref().unwrap_or(rows);
        let tables = Tables::new(self, order, rows, full, None);
        if tables.totals()[0].is_none() {
            return Ok(None);
        }
        let mut choice = vec![0; self.variables().len()];
        tables.decide(&mut choice, 0);
        Ok(Some(rows.places(self, &choice)))
    }

    /// The best choice among these rows of each total weight.
    pub(super) fn exact_by_weight(
        &self,
        order: &Order,
        rows: &Rows,
        most: usize,
    ) -> Result<Vec<Option<Vec<usize>>>, Unsolvable> {
        let scale = Scale::of(self, order.width, true).ok_or(Unsolvable::TooLarge)?;
        let tables = Tables::new(self, order, rows, scale, Some(most));
        let choice = |(weight, total): (usize, Option<u128>)| {
            total?;
            let mut choice = vec![0; self.variables().len()];
            tables.decide_weight(weight, &mut choice);
            Some(rows.places(self, &choice))
        };
        let mut found: Vec<_> = tables
            .totals()
            .into_iter()
            .enumerate()
            .map(choice)
            .collect();
        found.resize(most + 1, None);
        Ok(found)
    }

    /// A choice that is known to be the best.
    fn proved(&self, choice: Vec<usize>, width: usize) -> Option<Plan> {
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

pub(super) fn too_entangled(stuck: Stuck) -> Unsolvable {
    Unsolvable::TooEntangled { width: stuck.width }
}

/// Whether most pairs of rows lie where layers are large.
fn is_large(order: &Order, rows: &Rows) -> bool {
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
