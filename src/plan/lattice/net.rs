//! The lattice made ready for elimination: points with a single state folded
//! into their neighbours, and what two states cost where they meet.

use super::state::{Passage, Point, State};
use crate::plan::cost::{Bound, IMPOSSIBLE, Key, row_key, step_key};
use crate::plan::network::join;
use crate::plan::order::Web;
use crate::plan::{Unsolvable, step};
use std::collections::BTreeMap;

/// Points, what their states cost alone, and the passages between open points.
#[derive(Debug)]
pub(super) struct Net<'a> {
    pub(super) points: &'a [Point],
    pub(super) passages: &'a [Passage],
    /// What each state of each point costs by itself, with all that it costs
    /// beside points that have no choice.
    pub(super) alone: Vec<Vec<Key>>,
    /// Whether there is a choice at the point.
    pub(super) open: Vec<bool>,
    /// The passages between each open point and other open points.
    pub(super) at: Vec<Vec<usize>>,
    /// What the points without a choice cost among themselves, and weigh.
    pub(super) constant: Key,
    pub(super) weight: u64,
    /// The row of each state, numbered so that equal rows of a point share a number.
    pub(super) kinds: Vec<Kinds>,
}

/// The different rows of one point.
#[derive(Debug)]
pub(super) struct Kinds {
    pub(super) of: Vec<u32>,
    pub(super) count: usize,
}

impl Kinds {
    fn new(point: &Point) -> Kinds {
        let mut seen = BTreeMap::new();
        let states = point.states.iter();
        let of = states.map(|state| {
            let next = seen.len() as u32;
            *seen.entry(&state.row).or_insert(next)
        });
        Kinds {
            of: of.collect(),
            count: seen.len(),
        }
    }
}

impl<'a> Net<'a> {
    pub(super) fn new(
        points: &'a [Point],
        passages: &'a [Passage],
        centre: i32,
    ) -> Result<Net<'a>, Unsolvable> {
        check(points, passages, centre)?;
        let mut net = Net {
            points,
            passages,
            alone: points.iter().map(|point| alone(point, centre)).collect(),
            open: points.iter().map(|point| point.states.len() > 1).collect(),
            at: vec![Vec::new(); points.len()],
            constant: 0,
            weight: 0,
            kinds: points.iter().map(Kinds::new).collect(),
        };
        for index in 0..passages.len() {
            net.fold(index);
        }
        for (index, point) in points.iter().enumerate() {
            if let [state] = point.states.as_slice() {
                net.constant = join(net.constant, net.alone[index][0]);
                net.weight += u64::from(state.weight);
            }
        }
        Ok(net)
    }

    /// A passage beside a point without a choice, or from a point to itself,
    /// is a matter of single states.
    fn fold(&mut self, index: usize) {
        let Passage { from, to, .. } = self.passages[index];
        if from != to && self.open[from] && self.open[to] {
            self.at[from].push(index);
            self.at[to].push(index);
            return;
        }
        // What is folded belongs to the open end, or to the first of two closed ones.
        let (own, other) = if self.open[to] {
            (to, from)
        } else {
            (from, to)
        };
        for state in 0..self.alone[own].len() {
            let there = if own == other { state } else { 0 };
            let key = self.key(index, own, state, there);
            self.alone[own][state] = join(self.alone[own][state], key);
        }
    }

    /// What the passage costs between a state of its end `own` and a state of
    /// its other end, or [`IMPOSSIBLE`].
    pub(super) fn key(&self, passage: usize, own: usize, here: usize, there: usize) -> Key {
        let passage = &self.passages[passage];
        let (before, after) = if passage.from == own {
            (here, there)
        } else {
            (there, here)
        };
        let before = &self.points[passage.from].states[before];
        let after = &self.points[passage.to].states[after];
        if passage.joins(before, after) {
            moved(passage, before, after)
        } else {
            IMPOSSIBLE
        }
    }

    /// The end of a passage that is not `own`.
    pub(super) fn other(&self, passage: usize, own: usize) -> usize {
        let Passage { from, to, .. } = self.passages[passage];
        if from == own { to } else { from }
    }

    /// What a whole choice costs.
    pub(super) fn cost(&self, choice: &[usize]) -> Key {
        let open = (0..self.points.len()).filter(|&point| self.open[point]);
        let alone = open.clone().map(|point| self.alone[point][choice[point]]);
        let passages = open.flat_map(|point| {
            let leaving = self.at[point].iter().copied();
            let leaving = leaving.filter(move |&index| self.passages[index].from == point);
            leaving.map(move |index| {
                let to = self.passages[index].to;
                self.key(index, point, choice[point], choice[to])
            })
        });
        alone.chain(passages).fold(self.constant, join)
    }

    /// What a whole choice weighs.
    pub(super) fn weigh(&self, choice: &[usize]) -> usize {
        let states = self.points.iter().zip(choice);
        states
            .map(|(point, &state)| point.states[state].weight as usize)
            .fold(0, usize::saturating_add)
    }

    /// What the order of elimination depends on, if only some passages are `kept`.
    pub(super) fn web(&self, kept: &[bool]) -> Web {
        let neighbours = (0..self.points.len()).map(|point| {
            let passages = self.at[point].iter().filter(|index| kept[**index]);
            let mut others: Vec<usize> = passages.map(|&index| self.other(index, point)).collect();
            others.sort_unstable();
            others.dedup();
            others
        });
        Web {
            sizes: self.points.iter().map(|p| p.states.len() as u64).collect(),
            neighbours: neighbours.collect(),
            open: self.open.clone(),
        }
    }
}

/// What the passage costs between two states that the labels allow.
pub(super) fn moved(passage: &Passage, a: &State, b: &State) -> Key {
    let (a, b) = (a.row.entries(), b.row.entries());
    let taken = step(a, b);
    if passage.rule.allows(a, b, taken) {
        step_key(taken) * Key::from(passage.times)
    } else {
        IMPOSSIBLE
    }
}

fn alone(point: &Point, centre: i32) -> Vec<Key> {
    let states = point.states.iter();
    let key = |state: &State| {
        let key = row_key(&state.row, centre) * Key::from(point.visits);
        if state.fresh { key } else { 0 }
    };
    states.map(key).collect()
}

/// Whether all points have states, all passages lead somewhere, and no sum can
/// run over.
fn check(points: &[Point], passages: &[Passage], centre: i32) -> Result<(), Unsolvable> {
    let mut bound = Bound::new(centre);
    for (layer, point) in points.iter().enumerate() {
        if point.states.is_empty() {
            return Err(Unsolvable::EmptyLayer { layer });
        }
        point
            .states
            .iter()
            .for_each(|state| bound.include(&state.row));
    }
    let mut ends = passages.iter().flat_map(|p| [p.from, p.to]);
    if let Some(layer) = ends.find(|&end| end >= points.len()) {
        return Err(Unsolvable::NoSuchLayer { layer });
    }
    let steps = sum(passages.iter().map(|passage| passage.times))?;
    bound.check(steps, sum(points.iter().map(|point| point.visits))?)
}

fn sum(mut times: impl Iterator<Item = u64>) -> Result<u64, Unsolvable> {
    let sum = times.try_fold(0, u64::checked_add);
    sum.ok_or(Unsolvable::TooLarge)
}
