//! One exact engine. It knows no music: variables whose values are rows of whole numbers go in, one value
//! for every variable comes out, and no other choice costs less.
//!
//! 1. A [`Value`] is a [`Row`] and what it costs by itself; [`Model::domain`] takes the values a variable
//!    may have.
//! 2. An [`Edge`] is a step from one variable to another, taken so often. [`step`] measures the least
//!    movement between two rows, a [`StepRule`] may forbid it, and [`pairs`] says which entry moves to
//!    which. Where an edge is bounded, two values may only meet if their boundary numbers are the same.
//! 3. [`Cost`] adds everything up and compares field by field.
//! 4. [`Model::solve`] finds the least cost, [`Model::min_marginals`] the price of every value,
//!    [`Model::k_best`] the best few plans, [`Model::best_by_weight`] the best plan for every total
//!    weight, [`Model::lightest_within`] the lightest that costs little enough.
//! 5. What would cost more than a [`Budget`] is bounded from below, and the best plan found is given.
//!
//! # The cost
//!
//! With a value chosen for every variable, compared in this order:
//!
//! 1. effort: the motion of [`step`] over every edge, as often as it is taken, plus the effort of every
//!    value, as often as its variable is visited;
//! 2. largest: the largest single distances of the steps, as often as they are taken;
//! 3. off centre: the same of the values, as often as they are visited;
//! 4. the order of the values: see [`Model::solve`].
//!
//! # Why it is exact
//!
//! The cost is a sum of terms of one or two variables each, and adding the same term to two costs never
//! changes which is less. So the variables can be minimised over one after the other. To minimise over
//! v, take all terms that name it: they depend on v and on its neighbours only. For every choice of the
//! neighbours their least sum over v's values is one new term, a table over the neighbours, and v is gone.
//! No choice is lost, and none is counted that does not exist. After the last variable one number is left:
//! the least cost of all. Going back through the tables gives the values that make it.
//!
//! # Why not the changes first, and the rows afterwards
//!
//! Weights let changes and rows be decided together. Rows of single numbers; the second variable may be
//! changed from 10 to 2: it has 10, or 2 at weight 1; before it stands 0, after it 11 or 1, then 11 or 3.
//! Without the change 0 10 11 11 is best and moves 11. Beside these rows the change saves nothing:
//! 0 2 11 11 moves 11 as well, and whoever decides on changes first leaves it alone. Decided together,
//! 0 2 1 3 moves 2 + 1 + 2 = 5.
//!
//! # Where to read on
//!
//! Each folder may use those above it.
//!
//! | folder | what it does |
//! |---|---|
//! | `factor_graph` | what goes in: `model`, its variables, values and edges |
//! | `elimination_order` | which variable is eliminated when, and what is joined then |
//! | `minimum` | where the minimum over a variable is taken |
//! | `elimination` | the forward pass: variable after variable, or straight stretches at one go, into tables |
//! | `backward_pass` | from the tables back to the values that make the minimum, and what every value costs |
//! | `queries` | what can be asked, a file each; `lower_bound` is for what is too entangled to be solved |
//!
//! Indices are proved by construction here, and used as such.

mod backward_pass;
mod elimination;
mod elimination_order;
mod factor_graph;
mod minimum;
mod queries;

#[cfg(test)]
mod tests;

#[cfg(test)]
pub(crate) use elimination::work::Work;
pub use elimination_order::budget::Budget;
pub use factor_graph::cost::Cost;
pub use factor_graph::edge::Edge;
pub use factor_graph::model::Model;
pub use factor_graph::motion::{Step, step};
pub use factor_graph::pairs::pairs;
pub use factor_graph::row::Row;
pub use factor_graph::rule::StepRule;
pub use factor_graph::unsolvable::Unsolvable;
pub use factor_graph::value::Value;
pub use queries::plan::Plan;
pub use queries::plans_by_weight::{ByWeight, Lightest};
