//! The plan of least cost: exactly, or as well as the budget allows.

use super::lower_bound;
use super::plan::Plan;
use crate::optimise::elimination_order::budget::Budget;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::unsolvable::Unsolvable;
use crate::optimise::minimum::rows::Rows;

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
            Err(stuck) => lower_bound::solve(self, &rows, stuck.width, budget),
        }
    }
}
