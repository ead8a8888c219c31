//! The lattice made ready for elimination: points with a single state folded
//! into their neighbours, and what two states cost where they meet.

use super::state::{Labels, Passage, Point, State};
use crate::plan::cost::{Bound, IMPOSSIBLE, Key, row_key, step_key};
use crate::plan::network::join;
use crate::plan::order::Web;
use crate::plan::{Unsolvable, step};
use std::collections::BTreeMap;

/// In place of a key that was not computed yet.
const UNKNOWN: Key = Key::MAX;

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
    kinds: Vec<Kinds>,
}

/// The different rows of one point.
#[derive(Debug)]
struct Kinds {
    of: Vec<u32>,
    count: usize,
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

    /// All pairs of states that may meet on a passage, seen from its end `own`.
    pub(super) fn meetings(&self, passage: usize, own: usize) -> Meetings {
        let other = self.other(passage, own);
        let offers = Offers::new(&self.passages[passage], own, &self.points[own].states);
        let (kinds, there) = (&self.kinds[own], &self.kinds[other]);
        let mut steps = vec![UNKNOWN; kinds.count * there.count];
        let mut meetings = Meetings {
            starts: vec![0],
            pairs: Vec::new(),
        };
        let taken = &self.passages[passage];
        for (index, state) in self.points[other].states.iter().enumerate() {
            let line = there.of[index] as usize * kinds.count;
            offers.each(state, |own_index| {
                let cell = &mut steps[line + kinds.of[own_index as usize] as usize];
                if *cell == UNKNOWN {
                    // Neither the step nor its rule depends on the direction.
                    *cell = moved(taken, &self.points[own].states[own_index as usize], state);
                }
                if *cell < IMPOSSIBLE {
                    meetings.pairs.push((own_index, *cell));
                }
            });
            meetings.starts.push(meetings.pairs.len());
        }
        meetings
    }
}

/// For each state of the other end of a passage, the own states that it may
/// meet, rising, and what the passage costs between them.
#[derive(Debug)]
pub(super) struct Meetings {
    starts: Vec<usize>,
    pairs: Vec<(u32, Key)>,
}

impl Meetings {
    /// The own states that may meet this state of the other end.
    pub(super) fn line(&self, there: usize) -> &[(u32, Key)] {
        &self.pairs[self.starts[there]..self.starts[there + 1]]
    }
}

/// The own states of a passage's end, found by the labels they must share.
struct Offers<'p> {
    passage: &'p Passage,
    states: &'p [State],
    /// Whether the own states come before the others.
    before: bool,
    /// The first channel that is checked, with the states of each label and
    /// those that have all labels.
    first: Option<(usize, BTreeMap<u32, Vec<u32>>, Vec<u32>)>,
}

impl<'p> Offers<'p> {
    fn new(passage: &'p Passage, own: usize, states: &'p [State]) -> Offers<'p> {
        let before = passage.from == own;
        let channel = passage.checks.iter().position(|check| *check);
        let first = channel.map(|channel| {
            let (mut listed, mut any) = (BTreeMap::<u32, Vec<u32>>::new(), Vec::new());
            for (index, state) in (0u32..).zip(states) {
                match side(state, channel, before).listed() {
                    None => any.push(index),
                    Some(labels) => labels
                        .iter()
                        .for_each(|label| listed.entry(*label).or_default().push(index)),
                }
            }
            (channel, listed, any)
        });
        Offers {
            passage,
            states,
            before,
            first,
        }
    }

    /// Names the own states that the labels let meet this one, rising.
    fn each(&self, state: &State, mut found: impl FnMut(u32)) {
        let asked = self.first.as_ref().and_then(|(channel, listed, any)| {
            let labels = side(state, *channel, !self.before).listed()?;
            Some((labels, listed, any))
        });
        match asked {
            None => (0..self.states.len() as u32)
                .filter(|&own| self.joins(own, state))
                .for_each(found),
            Some((labels, listed, any)) => {
                let mut fitting: Vec<u32> = labels
                    .iter()
                    .filter_map(|label| listed.get(label))
                    .flatten()
                    .copied()
                    .collect();
                fitting.extend(any);
                fitting.sort_unstable();
                fitting.dedup();
                fitting.retain(|&own| self.joins(own, state));
                fitting.into_iter().for_each(&mut found);
            }
        }
    }

    fn joins(&self, own: u32, other: &State) -> bool {
        let own = &self.states[own as usize];
        if self.before {
            self.passage.joins(own, other)
        } else {
            self.passage.joins(other, own)
        }
    }
}

fn side(state: &State, channel: usize, before: bool) -> &Labels {
    let joint = &state.joints[channel];
    if before { &joint.out } else { &joint.into }
}

/// What the passage costs between two states that the labels allow.
fn moved(passage: &Passage, a: &State, b: &State) -> Key {
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
