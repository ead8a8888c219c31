//! The exact plan when candidates also weigh something: the least cost for
//! every total weight.
//!
//! A [`Lattice`] is a set of *points*, each with some *states*, joined by
//! *passages*. At every point one state is chosen. Three things go beyond
//! [`Graph`](super::Graph):
//!
//! - a state has a **weight**, say 1 if a change of the page begins with it,
//!   and the least cost is asked for every total weight;
//! - two states may only meet if their **labels** fit, so that a change that
//!   stretches over several points is made whole or not at all;
//! - a state may be **held**: its row goes on sounding from before, and does
//!   not pay again for its distance from the centre.
//!
//! # Why not the changes first, and the rows afterwards
//!
//! Rows of single numbers; the second point may be changed from 10 to 2:
//!
//! | point | rows as written | rows if changed |
//! |---|---|---|
//! | 0 | 0 | |
//! | 1 | 10 | 2 |
//! | 2 | 11, 1 | |
//! | 3 | 11, 3 | |
//!
//! As written 0 10 11 11 is best and moves 10 + 1 + 0 = 11. Beside these rows
//! the change saves nothing: 0 2 11 11 moves 2 + 9 + 0 = 11, and whoever
//! decides on changes first leaves it alone. Decided together, 0 2 1 3
//! moves 2 + 1 + 2 = 5:
//!
//! ```
//! use compline::plan::{Budget, Lattice, Passage, Point, Row, State};
//!
//! let state = |entry: i16| Row::new(vec![entry]).map(State::new);
//! let point = |states: Vec<Option<State>>| Point {
//!     states: states.into_iter().flatten().collect(),
//!     visits: 1,
//! };
//! let points = [
//!     point(vec![state(0)]),
//!     point(vec![state(10), state(2).map(|changed| changed.weighing(1))]),
//!     point(vec![state(11), state(1)]),
//!     point(vec![state(11), state(3)]),
//! ];
//! let passages = (0..3).map(|point| Passage::loose(point, point + 1)).collect();
//! let ladder = Lattice::new(&points, 0, passages).solve(1, Budget::default())?;
//! let motions = ladder.rungs().iter().flatten().map(|rung| rung.cost.motion);
//! assert_eq!(motions.collect::<Vec<_>>(), [11, 5]);
//! assert_eq!(ladder.at_most(1).map(|best| best.choice), Some(vec![0, 1, 1, 1]));
//! # Ok::<(), compline::plan::Unsolvable>(())
//! ```
//!
//! # Where to read on
//!
//! `state` is what goes in, `ladder` what comes out; `net` folds away what has
//! no choice, `meetings` finds the pairs that labels allow, `tables`
//! eliminates, `decide` settles equals, `exact` is these together, and
//! `relaxed` says what can be said when that is too much.

mod decide;
mod exact;
mod ladder;
mod meetings;
mod net;
mod relaxed;
mod state;
mod tables;

#[cfg(test)]
mod oracle;
#[cfg(test)]
mod tests;

pub use ladder::{Fewest, Ladder, Solution};
pub use state::{CHANNELS, Joint, Labels, Passage, Point, State};

use super::{Budget, Unsolvable};
use exact::Problem;

/// All tables together may hold so many times what one point may look at.
const TABLES: u64 = 4;

/// Points that a performance passes through, each decided once, with
/// states that weigh something.
#[derive(Clone, Debug)]
pub struct Lattice<'a> {
    points: &'a [Point],
    centre: i32,
    passages: Vec<Passage>,
}

impl<'a> Lattice<'a> {
    /// The lattice of these points and passages. `centre` is the sum of the
    /// ends of the range that rows are to lie in the middle of. A looped
    /// performance has one more passage, from its last point to its first.
    ///
    /// Several passages between the same two points, in either direction, are
    /// added up, and all their rules and labels hold. A passage from a point
    /// to itself costs nothing; the state's own `out` must fit its `into` if
    /// labels are checked there.
    pub fn new(points: &'a [Point], centre: i32, passages: Vec<Passage>) -> Lattice<'a> {
        Lattice {
            points,
            centre,
            passages,
        }
    }

    /// For every total weight from 0 to `most` the choice of least cost of
    /// exactly that weight; [`Ladder::at_most`] makes "at most" of it.
    ///
    /// # The cost
    ///
    /// With S(p) for the state chosen at point p, compared in this order:
    ///
    /// 1. motion: the sum over all passages of [`step`](super::step)(row of
    ///    S(from), row of S(to)).motion x `times`;
    /// 2. largest: the same sum with `.largest`;
    /// 3. off_centre: the sum over all points whose S(p) is fresh of
    ///    [`off_centre`](super::Row::off_centre) x `visits`.
    ///
    /// A choice is possible if on every passage the rule allows the step and,
    /// in every channel it checks, S(from).out fits S(to).into. Among
    /// possible choices of equal cost and weight the first is taken, read as a
    /// list of state indices from the first point to the last.
    ///
    /// # Why it is exact
    ///
    /// The cost is a sum of terms of one or two points each. Let v be the
    /// point eliminated, N its neighbours. For all states of N and every
    /// weight w, v's table holds the least sum of all terms that name v or a
    /// point below it (whose table has gone into v's, or into one below),
    /// over all choices of these points that together weigh exactly w. That
    /// is the least, over v's own state s and all ways to split w minus the
    /// weight of s among the tables below, of s's terms plus one entry of each
    /// of these tables: the points below different tables are different, so
    /// their choices can be combined freely, and their weights add up. No
    /// choice is lost, and none is counted that does not exist; the last
    /// table, over no neighbours, is the answer.
    ///
    /// # Complexity
    ///
    /// With n neighbours at most, k states a point and c = `most` + 1:
    /// k^(n+1) x c sums a point where one table meets a point, c times that
    /// where several do; k^n x c costs of 16 bytes a point in memory. Pairs of
    /// states whose labels don't fit are never visited, and a step is measured
    /// once for each pair of different rows. A straight page (n = 1) takes
    /// time and memory in proportion to its length, a loop (n = 2) as well.
    ///
    /// A point is only eliminated if its states times those of its neighbours
    /// times c are at most [`Budget::cells`]. If that cannot be, the answer
    /// holds what re-deciding part after part has found, with lower bounds;
    /// [`Ladder::proved`] is then false unless the bounds happen to meet it,
    /// and no order among equals is promised.
    ///
    /// # Errors
    ///
    /// [`Unsolvable::EmptyLayer`] for a point without states,
    /// [`Unsolvable::NoSuchLayer`] for a passage that leads nowhere,
    /// [`Unsolvable::TooLarge`] if the cost might not fit,
    /// [`Unsolvable::OverBudget`] if the tables and choices together would
    /// hold more than four times the budget. That nothing is possible is no
    /// error: all rungs are then `None`.
    pub fn solve(&self, most: usize, budget: Budget) -> Result<Ladder, Unsolvable> {
        let most = most.min(self.heaviest());
        let counts = (most as u64).saturating_add(1);
        let problem = Problem {
            points: self.points,
            passages: &self.passages,
            centre: self.centre,
            most,
            cells: budget.cells / counts,
            costs: budget.cells.saturating_mul(TABLES),
        };
        let net = problem.net()?;
        match exact::solve(&problem, &net) {
            Ok(exact) => Ok(Ladder::exact(exact)),
            Err(Unsolvable::TooEntangled { width }) => {
                let relaxed = relaxed::solve(&problem, &net)?;
                Ok(Ladder::relaxed(relaxed, width))
            }
            Err(error) => Err(error),
        }
    }

    /// The lightest choice whose motion is at most `motion`, the cheapest of
    /// its weight; `None` if no choice moves so little. If every row but the
    /// present one of each point weighs 1, that is the fewest points that
    /// have to change.
    ///
    /// The most weight allowed is doubled until a choice is found: time and
    /// memory go with the answer, not with the square of the length.
    ///
    /// ```
    /// use compline::plan::{Budget, Lattice, Passage, Point, Row, State};
    ///
    /// // 0 9 1 8 moves 24; every entry may be changed to a 4.
    /// let point = |present: i16| Point {
    ///     states: [(present, 0), (4, 1)]
    ///         .into_iter()
    ///         .filter_map(|(entry, weight)| Some((Row::new(vec![entry])?, weight)))
    ///         .map(|(row, weight)| State::new(row).weighing(weight))
    ///         .collect(),
    ///     visits: 1,
    /// };
    /// let points = [0, 9, 1, 8].map(point);
    /// let passages = (0..3).map(|point| Passage::loose(point, point + 1)).collect();
    /// let lattice = Lattice::new(&points, 8, passages);
    /// // One change cannot do better than 0 4 1 8: 4 + 3 + 7 = 14.
    /// let fewest = lattice.fewest_within(14, Budget::default())?;
    /// assert_eq!(fewest.map(|fewest| fewest.solution.choice), Some(vec![0, 1, 0, 0]));
    /// // Two can: 0 4 4 8.
    /// let fewest = lattice.fewest_within(13, Budget::default())?;
    /// assert_eq!(fewest.map(|fewest| fewest.solution.choice), Some(vec![0, 1, 1, 0]));
    /// # Ok::<(), compline::plan::Unsolvable>(())
    /// ```
    ///
    /// # Errors
    ///
    /// Those of [`Lattice::solve`]; [`Unsolvable::NoneFound`] if the lattice
    /// is too entangled for the budget, and no such choice was found. There
    /// may be one.
    pub fn fewest_within(&self, motion: u64, budget: Budget) -> Result<Option<Fewest>, Unsolvable> {
        let heaviest = self.heaviest();
        let (mut most, mut floor) = (7, 0);
        loop {
            let ladder = self.solve(most, budget)?;
            if let Some(fewest) = ladder.fewest_within(motion) {
                let at_least = fewest.at_least.max(floor);
                return Ok(Some(Fewest { at_least, ..fewest }));
            }
            let excluded = ladder.excludes(motion);
            if excluded {
                floor = most + 1;
            }
            if most >= heaviest {
                return if excluded {
                    Ok(None)
                } else {
                    Err(Unsolvable::NoneFound)
                };
            }
            most = most.saturating_mul(2).saturating_add(1);
        }
    }

    /// What the heaviest states of all points weigh together.
    fn heaviest(&self) -> usize {
        let heaviest = self.points.iter().map(|point| {
            let weights = point.states.iter().map(|state| state.weight as usize);
            weights.max().unwrap_or(0)
        });
        heaviest.fold(0, usize::saturating_add)
    }
}
