//! The oracle of the tests: small random models, and every choice tried one by one. It shares no code
//! with the engine beyond [`step`] (which has an oracle of its own) and the order of [`Cost`].

use crate::optimise::factor_graph::cost::Cost;
use crate::optimise::factor_graph::edge::Edge;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::motion::step;
use crate::optimise::factor_graph::row::Row;
use crate::optimise::factor_graph::rule::StepRule;
use crate::optimise::factor_graph::value::Value;

/// A small generator with a fixed seed, so that a failure can be repeated.
pub(in crate::optimise) struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// A number from 0 to `sides` - 1.
    pub fn roll(&mut self, sides: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        ((self.0 >> 20) % sides as u64) as usize
    }

    /// Whether something with a chance of one in `sides` happens.
    pub fn one_in(&mut self, sides: usize) -> bool {
        self.roll(sides) == 0
    }

    /// A row of so many entries below `range`, or of fewer.
    pub fn row(&mut self, longest: usize, range: usize) -> Row {
        let mut entries: Vec<i16> = (0..longest).map(|_| self.roll(range) as i16).collect();
        entries.sort_unstable();
        entries.dedup();
        Row::new(entries).unwrap()
    }

    fn rule(&mut self, range: usize) -> StepRule {
        let mut limit = || (self.roll(3) == 0).then(|| self.roll(range) as u16);
        StepRule {
            max_entry_step: limit(),
            max_top_step: limit(),
        }
    }
}

/// What random models are like.
#[derive(Clone, Copy, Debug)]
pub(in crate::optimise) struct RandomCase {
    /// The most values of a variable.
    pub values: usize,
    pub longest: usize,
    pub range: usize,
    pub effort: usize,
    /// The heaviest value.
    pub weight: usize,
    pub ruled: bool,
    pub bounded: bool,
}

impl RandomCase {
    /// Small models without weights, boundaries and rules.
    pub const PLAIN: RandomCase = RandomCase {
        values: 4,
        longest: 4,
        range: 12,
        effort: 6,
        weight: 0,
        ruled: false,
        bounded: false,
    };

    pub fn value(&self, dice: &mut Dice, length: usize) -> Value {
        let row = dice.row(length, self.range);
        let mut boundary = || match self.bounded {
            true => dice.roll(2) as u32,
            false => 0,
        };
        let (into, out) = (boundary(), boundary());
        Value {
            effort: if dice.one_in(3) {
                dice.roll(self.effort + 1) as u32
            } else {
                0
            },
            off_centre: row.off_centre(self.range as i32) as u32,
            weight: if dice.one_in(2) {
                dice.roll(self.weight + 1) as u32
            } else {
                0
            },
            into,
            out,
            row,
        }
    }

    /// The values of one variable, most of them of one length.
    pub fn values(&self, dice: &mut Dice, count: usize) -> Vec<Value> {
        let length = 1 + dice.roll(self.longest);
        let mut length = || {
            if dice.one_in(5) {
                1 + dice.roll(self.longest)
            } else {
                length
            }
        };
        let lengths: Vec<usize> = (0..count).map(|_| length()).collect();
        lengths
            .into_iter()
            .map(|length| self.value(dice, length))
            .collect()
    }
}

/// A model as the oracle reads it, and as the engine does.
#[derive(Debug)]
pub(in crate::optimise) struct Case {
    pub values: Vec<Vec<Value>>,
    pub visits: Vec<u64>,
    pub edges: Vec<Edge>,
}

impl Case {
    /// A straight page, a loop, a page with repeats and jumps, or anything at all.
    pub fn random(dice: &mut Dice, kind: RandomCase, variables: usize) -> Case {
        let values = (0..variables).map(|_| {
            let count = if dice.one_in(5) {
                1
            } else {
                1 + dice.roll(kind.values)
            };
            kind.values(dice, count)
        });
        Case {
            values: values.collect(),
            visits: (0..variables).map(|_| dice.roll(4) as u64).collect(),
            edges: random_edges(dice, kind, variables),
        }
    }

    pub fn model(&self) -> Model {
        let mut model = Model::new();
        for (values, &visits) in self.values.iter().zip(&self.visits) {
            let domain = model.domain(values.iter().cloned());
            model.variable(domain, visits);
        }
        self.edges.iter().for_each(|edge| model.edge(*edge));
        model
    }

    /// What a choice costs; `None` if it breaks a rule or a boundary.
    pub fn cost(&self, choice: &[usize]) -> Option<Cost> {
        let value = |variable: usize| &self.values[variable][choice[variable]];
        let mut cost = Cost::default();
        for (variable, &visits) in self.visits.iter().enumerate() {
            cost.effort += u64::from(value(variable).effort) * visits;
            cost.off_centre += u64::from(value(variable).off_centre) * visits;
        }
        for edge in self.edges.iter().filter(|edge| edge.from != edge.to) {
            let (a, b) = (value(edge.from), value(edge.to));
            let (x, y) = (a.row.entries(), b.row.entries());
            let moved = step(x, y);
            let top = u32::from(x[x.len() - 1].abs_diff(y[y.len() - 1]));
            let within = |most: Option<u16>, by: u32| most.is_none_or(|most| by <= u32::from(most));
            if edge.bounded && a.out != b.into
                || !within(edge.rule.max_entry_step, moved.largest)
                || !within(edge.rule.max_top_step, top)
            {
                return None;
            }
            cost.effort += u64::from(moved.motion) * edge.count;
            cost.largest += u64::from(moved.largest) * edge.count;
        }
        Some(cost)
    }

    pub fn weight(&self, choice: &[usize]) -> usize {
        let values = self.values.iter().zip(choice);
        values.map(|(values, &at)| values[at].weight as usize).sum()
    }

    /// Every possible choice with its cost, cheapest first; equals by the variables in the order in which
    /// they are decided.
    pub fn ranking(&self, decided: &[u32]) -> Vec<(Cost, Vec<usize>)> {
        let mut all = Vec::new();
        let mut choice = vec![0; self.values.len()];
        loop {
            all.extend(self.cost(&choice).map(|cost| (cost, choice.clone())));
            let more = |&at: &usize| choice[at] + 1 < self.values[at].len();
            let Some(at) = (0..choice.len()).rev().find(more) else {
                break;
            };
            choice[at] += 1;
            choice[at + 1..].fill(0);
        }
        let key = |choice: &[usize]| -> Vec<usize> {
            decided.iter().map(|&at| choice[at as usize]).collect()
        };
        all.sort_by_cached_key(|(cost, choice)| (*cost, key(choice)));
        all
    }
}

fn random_edges(dice: &mut Dice, kind: RandomCase, variables: usize) -> Vec<Edge> {
    let mut ends: Vec<(usize, usize)> = (1..variables).map(|to| (to - 1, to)).collect();
    match dice.roll(5) {
        0 => {}
        1 => ends.push((variables - 1, 0)),
        2 | 3 => ends.extend((0..2).map(|_| (dice.roll(variables), dice.roll(variables)))),
        _ => {
            ends = (0..dice.roll(2 * variables))
                .map(|_| (dice.roll(variables), dice.roll(variables)))
                .collect();
        }
    }
    let edge = |(from, to)| Edge {
        count: if dice.one_in(3) {
            dice.roll(4) as u64
        } else {
            1
        },
        rule: match kind.ruled {
            true => dice.rule(kind.range),
            false => StepRule::FREE,
        },
        bounded: kind.bounded && dice.roll(3) > 0,
        ..Edge::new(from, to)
    };
    ends.into_iter().map(edge).collect()
}

/// A value with these entries that costs and weighs nothing.
pub(in crate::optimise) fn value(entries: &[i16]) -> Value {
    Value::new(Row::new(entries.to_vec()).unwrap())
}

/// A straight page of these values.
pub(in crate::optimise) fn straight(values: impl IntoIterator<Item = Vec<Value>>) -> Model {
    let mut model = Model::new();
    for values in values {
        let domain = model.domain(values);
        let variable = model.variable(domain, 1);
        if variable > 0 {
            model.edge(Edge::new(variable - 1, variable));
        }
    }
    model
}

/// The least (sum, largest) over all relations that cover both rows, tried as bit masks; of rows of equal
/// length only one-to-one pairings count.
fn step_over_all_relations(a: &[i16], b: &[i16]) -> (u32, u32) {
    let pairs: Vec<(usize, usize)> = (0..a.len())
        .flat_map(|x| (0..b.len()).map(move |y| (x, y)))
        .collect();
    let mut best = (u32::MAX, u32::MAX);
    for mask in 0u32..1 << pairs.len() {
        let taken = || {
            let bits = pairs.iter().enumerate();
            bits.filter(|(bit, _)| mask >> bit & 1 == 1)
                .map(|(_, pair)| *pair)
        };
        let covers = (0..a.len()).all(|x| taken().any(|pair| pair.0 == x))
            && (0..b.len()).all(|y| taken().any(|pair| pair.1 == y));
        if covers && (a.len() != b.len() || mask.count_ones() as usize == a.len()) {
            let distances = taken().map(|(x, y)| u32::from(a[x].abs_diff(b[y])));
            best = best.min((distances.clone().sum(), distances.max().unwrap()));
        }
    }
    best
}

#[test]
fn a_step_is_the_least_of_all_covering_relations() {
    let mut dice = Dice::new(1);
    for round in 0..1500 {
        let longest = if round % 50 == 0 { 4 } else { 3 };
        let (a, b) = (dice.row(longest, 14), dice.row(longest, 14));
        let (a, b) = (a.entries(), b.entries());
        let found = step(a, b);
        let least = step_over_all_relations(a, b);
        assert_eq!((found.motion, found.largest), least, "{a:?} {b:?}");
        assert_eq!(found, step(b, a), "{a:?} {b:?}");
    }
}
