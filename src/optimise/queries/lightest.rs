//! The lightest plan that costs little enough.

use super::plans_by_weight::Lightest;
use crate::optimise::elimination_order::budget::Budget;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::unsolvable::Unsolvable;

impl Model {
    /// The lightest plan whose effort is at most `effort`, the cheapest of its weight; `None` if no plan
    /// costs so little. If every value but the present one of each variable weighs 1, that is the fewest
    /// variables that have to change.
    ///
    /// The most weight allowed is doubled until a plan is found: time and memory go with the answer, not
    /// with the square of the length.
    ///
    /// ```
    /// use compline::optimise::{Budget, Edge, Model, Row, Value};
    ///
    /// // 0 9 1 8 moves 24; every entry may be changed to a 4.
    /// let mut model = Model::new();
    /// for present in [0, 9, 1, 8] {
    ///     let value = |entry, weight| Some(Value { weight, ..Value::new(Row::new(vec![entry])?) });
    ///     let values = [value(present, 0), value(4, 1)];
    ///     let domain = model.domain(values.into_iter().flatten());
    ///     let variable = model.variable(domain, 1);
    ///     if variable > 0 {
    ///         model.edge(Edge::new(variable - 1, variable));
    ///     }
    /// }
    /// // One change cannot do better than 0 4 1 8: 4 + 3 + 7 = 14.
    /// let lightest = model.lightest_within(14, Budget::default())?;
    /// assert_eq!(lightest.map(|found| found.plan.choice), Some(vec![0, 1, 0, 0]));
    /// // Two can: 0 4 4 8.
    /// let lightest = model.lightest_within(13, Budget::default())?;
    /// assert_eq!(lightest.map(|found| found.weight), Some(2));
    /// # Ok::<(), compline::optimise::Unsolvable>(())
    /// ```
    ///
    /// # Errors
    ///
    /// Those of [`Model::best_by_weight`]; [`Unsolvable::NoneFound`] if the model is too entangled for
    /// the budget, and no such plan was found. There may be one.
    pub fn lightest_within(
        &self,
        effort: u64,
        budget: Budget,
    ) -> Result<Option<Lightest>, Unsolvable> {
        let heaviest = self.heaviest();
        let (mut most, mut floor) = (7, 0);
        loop {
            let found = self.best_by_weight(most, budget)?;
            if let Some(lightest) = found.lightest_within(effort) {
                let at_least = lightest.at_least.max(floor);
                return Ok(Some(Lightest {
                    at_least,
                    ..lightest
                }));
            }
            let excluded = found.least_weight_within(effort).is_none();
            if excluded {
                floor = most + 1;
            }
            if most >= heaviest {
                return match excluded {
                    true => Ok(None),
                    false => Err(Unsolvable::NoneFound),
                };
            }
            most = most.saturating_mul(2).saturating_add(1);
        }
    }
}
