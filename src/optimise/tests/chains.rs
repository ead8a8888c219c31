//! Chains and loops too large for exhaustive search, against a plain dynamic program that knows nothing of
//! lanes, stretches and tables: all pairs of values, one variable after the other.

use super::oracle::{Case, Dice, RandomCase};
use crate::optimise::{Budget, Cost, Edge, StepRule, Unsolvable, Value, step};

/// A cost as one number that compares as it does.
type Key = u128;

const NEVER: Key = Key::MAX;

fn key(effort: u64, largest: u64, off_centre: u64) -> Key {
    Key::from(effort) << 80 | Key::from(largest) << 40 | Key::from(off_centre)
}

fn plus(a: Key, b: Key) -> Key {
    match (a, b) {
        (NEVER, _) | (_, NEVER) => NEVER,
        (a, b) => a + b,
    }
}

fn of_cost(cost: Cost) -> Key {
    key(cost.effort, cost.largest, cost.off_centre)
}

/// The least costs of all that goes up to a variable: by value, then by weight.
type Least = Vec<Vec<Key>>;

/// A chain, or a loop, with the costs of all pairs of neighbours.
struct Chain<'c> {
    case: &'c Case,
    /// The greatest weight told apart; nothing if weights don't matter.
    most: Option<usize>,
    /// From each variable to the next; the last is the way back to the first, if there is one.
    steps: Vec<Vec<Vec<Key>>>,
}

impl<'c> Chain<'c> {
    fn of(case: &'c Case, most: Option<usize>) -> Self {
        let pairs = |edge: &Edge| -> Vec<Vec<Key>> {
            let to = &case.values[edge.to];
            let line = |a: &Value| to.iter().map(|b| met(edge, a, b)).collect();
            case.values[edge.from].iter().map(line).collect()
        };
        Self {
            case,
            most,
            steps: case.edges.iter().map(pairs).collect(),
        }
    }

    fn own(&self, variable: usize, at: usize) -> Key {
        let (value, visits) = (&self.case.values[variable][at], self.case.visits[variable]);
        key(
            u64::from(value.effort) * visits,
            0,
            u64::from(value.off_centre) * visits,
        )
    }

    fn weight(&self, variable: usize, at: usize) -> usize {
        let weight = self.case.values[variable][at].weight as usize;
        self.most.map_or(0, |_| weight)
    }

    /// A value of a variable, after what each value of the one before it costs.
    fn add(&self, line: &mut [Key], before: &[Key], step: Key, (variable, at): (usize, usize)) {
        let weight = self.weight(variable, at);
        let more = plus(step, self.own(variable, at));
        for (total, least) in line.iter_mut().skip(weight).zip(before) {
            *total = (*total).min(plus(*least, more));
        }
    }

    /// What all up to each variable costs at least; with the first value given, only with that.
    fn forward(&self, first: Option<usize>) -> Vec<Least> {
        let empty = vec![NEVER; self.most.unwrap_or(0) + 1];
        let mut start = empty.clone();
        start[0] = 0;
        let mut found: Vec<Least> = Vec::new();
        for (variable, values) in self.case.values.iter().enumerate() {
            let mut here = vec![empty.clone(); values.len()];
            for (at, line) in here.iter_mut().enumerate() {
                if variable == 0 && first.is_none_or(|first| first == at) {
                    self.add(line, &start, 0, (0, at));
                }
                for (from, before) in found.last().into_iter().flatten().enumerate() {
                    self.add(
                        line,
                        before,
                        self.steps[variable - 1][from][at],
                        (variable, at),
                    );
                }
            }
            found.push(here);
        }
        found
    }

    /// What all after each variable costs at least, weights left alone; `first` closes a loop.
    fn backward(&self, first: Option<usize>) -> Vec<Vec<Key>> {
        let last = self.case.values.len() - 1;
        let close = |at: usize| first.map_or(0, |first| self.steps[last][at][first]);
        let mut found = vec![
            (0..self.case.values[last].len())
                .map(close)
                .collect::<Vec<_>>(),
        ];
        for variable in (0..last).rev() {
            let next = found.last().unwrap();
            let after = |from: usize| {
                let each = next.iter().enumerate();
                let each = each.map(|(to, after)| {
                    plus(
                        plus(self.steps[variable][from][to], self.own(variable + 1, to)),
                        *after,
                    )
                });
                each.min().unwrap_or(NEVER)
            };
            found.push((0..self.case.values[variable].len()).map(after).collect());
        }
        found.reverse();
        found
    }

    /// The values that a loop is closed with, one after the other; for a chain none.
    fn firsts(&self) -> Vec<Option<usize>> {
        match self.case.edges.len() == self.case.values.len() {
            true => (0..self.case.values[0].len()).map(Some).collect(),
            false => vec![None],
        }
    }

    /// The least cost of every weight.
    fn by_weight(&self) -> Vec<Key> {
        let last = self.case.values.len() - 1;
        let mut least = vec![NEVER; self.most.unwrap_or(0) + 1];
        for first in self.firsts() {
            for (at, line) in self.forward(first)[last].iter().enumerate() {
                let close = first.map_or(0, |first| self.steps[last][at][first]);
                for (least, total) in least.iter_mut().zip(line) {
                    *least = (*least).min(plus(*total, close));
                }
            }
        }
        least
    }

    /// The least cost through every value.
    fn through(&self) -> Vec<Vec<Key>> {
        let mut least: Vec<Vec<Key>> = self
            .case
            .values
            .iter()
            .map(|values| vec![NEVER; values.len()])
            .collect();
        for first in self.firsts() {
            let (forward, backward) = (self.forward(first), self.backward(first));
            for (variable, least) in least.iter_mut().enumerate() {
                for (at, least) in least.iter_mut().enumerate() {
                    let total = plus(forward[variable][at][0], backward[variable][at]);
                    *least = (*least).min(total);
                }
            }
        }
        least
    }
}

/// What two values cost on an edge.
fn met(edge: &Edge, a: &Value, b: &Value) -> Key {
    let (x, y) = (a.row.entries(), b.row.entries());
    let moved = step(x, y);
    let top = u32::from(x[x.len() - 1].abs_diff(y[y.len() - 1]));
    let within = |most: Option<u16>, by: u32| most.is_none_or(|most| by <= u32::from(most));
    let rule = edge.rule;
    let keeps = within(rule.max_entry_step, moved.largest) && within(rule.max_top_step, top);
    match keeps && (!edge.bounded || a.out == b.into) {
        true => key(
            u64::from(moved.motion) * edge.count,
            u64::from(moved.largest) * edge.count,
            0,
        ),
        false => NEVER,
    }
}

/// All that the engine says of a chain or a loop is what the plain program says.
fn compare(case: &Case, most: usize) -> bool {
    let (model, budget) = (case.model(), Budget::default());
    let plain = Chain::of(case, None);
    let least = plain.by_weight()[0];
    if least == NEVER {
        assert_eq!(model.solve(budget), Err(Unsolvable::Impossible));
        assert_eq!(model.min_marginals(budget), Err(Unsolvable::Impossible));
        return false;
    }
    let plan = model.solve(budget).unwrap();
    assert_eq!(of_cost(plan.cost), least);
    assert_eq!(case.cost(&plan.choice), Some(plan.cost));
    let through = plain.through();
    let prices = model.min_marginals(budget).unwrap();
    let keys = |costs: &Vec<Option<Cost>>| -> Vec<Key> {
        costs
            .iter()
            .map(|cost| cost.map_or(NEVER, of_cost))
            .collect()
    };
    assert_eq!(prices.iter().map(keys).collect::<Vec<_>>(), through);
    let efforts = model.least_efforts(budget).unwrap();
    let effort = |key: &Key| (*key != NEVER).then(|| (key >> 80) as u64);
    let expected: Vec<Vec<Option<u64>>> = through
        .iter()
        .map(|keys| keys.iter().map(effort).collect())
        .collect();
    assert_eq!(efforts, expected);
    let best = model.k_best(4, budget).unwrap();
    assert_eq!(best.first(), Some(&plan));
    for pair in best.windows(2) {
        assert!(pair[0].cost <= pair[1].cost && pair[0].choice != pair[1].choice);
        assert_eq!(case.cost(&pair[1].choice), Some(pair[1].cost));
    }
    weighted(case, most);
    true
}

fn weighted(case: &Case, most: usize) {
    let (model, budget) = (case.model(), Budget::default());
    let expected = Chain::of(case, Some(most)).by_weight();
    let found = model.best_by_weight(most, budget).unwrap();
    assert!(found.proved());
    for (weight, expected) in expected.iter().enumerate() {
        let plan = found.plans().get(weight).and_then(Option::as_ref);
        assert_eq!(
            plan.map_or(NEVER, |plan| of_cost(plan.cost)),
            *expected,
            "{weight}"
        );
        let weighs = plan.is_none_or(|plan| case.weight(&plan.choice) == weight);
        assert!(weighs, "{weight}");
    }
    let possible = || {
        expected
            .iter()
            .enumerate()
            .filter(|(_, key)| **key != NEVER)
    };
    for (weight, least) in possible() {
        let effort = (least >> 80) as u64;
        let lighter = possible().find(|(_, key)| (**key >> 80) as u64 <= effort);
        let lightest = model.lightest_within(effort, budget).unwrap().unwrap();
        assert_eq!(
            Some(lightest.weight),
            lighter.map(|(weight, _)| weight),
            "{weight}"
        );
    }
}

/// A chain of so many variables with so many values each, more or less, every fourth time closed to a loop.
fn drawn(dice: &mut Dice, kind: RandomCase, variables: usize, values: usize) -> Case {
    let edge = |dice: &mut Dice, from: usize, to: usize| {
        let count = [1, 1, 1, 2, 3][dice.roll(5)];
        let limit = |dice: &mut Dice| {
            dice.one_in(3)
                .then(|| (kind.range / 2 + dice.roll(kind.range)) as u16)
        };
        let rule = match kind.ruled {
            true => StepRule {
                max_entry_step: limit(dice),
                max_top_step: limit(dice),
            },
            false => StepRule::FREE,
        };
        let bounded = kind.bounded && dice.one_in(2);
        Edge {
            count,
            rule,
            bounded,
            ..Edge::new(from, to)
        }
    };
    let mut edges: Vec<Edge> = (1..variables).map(|to| edge(dice, to - 1, to)).collect();
    if variables > 2 && dice.one_in(4) {
        edges.push(edge(dice, variables - 1, 0));
    }
    let even = dice.one_in(2);
    let each = |dice: &mut Dice| {
        let count = 1 + values / 2 + dice.roll(values);
        let mut found: Vec<Value> = Vec::new();
        while found.len() < count {
            let length = if even {
                kind.longest
            } else {
                1 + dice.roll(kind.longest)
            };
            let value = kind.value(dice, length);
            if !even || value.row.entries().len() == kind.longest {
                found.push(value);
            }
        }
        found
    };
    Case {
        values: (0..variables).map(|_| each(dice)).collect(),
        visits: (0..variables)
            .map(|_| [0, 1, 1, 1, 2, 3][dice.roll(6)])
            .collect(),
        edges,
    }
}

fn compare_many(seed: u64, rounds: usize, (variables, values): (usize, usize), kind: RandomCase) {
    let mut dice = Dice::new(seed);
    let mut possible = 0;
    for _ in 0..rounds {
        let variables = 2 + dice.roll(variables);
        let case = drawn(&mut dice, kind, variables, values);
        let most = dice.roll(6);
        possible += usize::from(compare(&case, most));
    }
    assert!(2 * possible > rounds, "{possible} of {rounds}");
}

const KIND: RandomCase = RandomCase {
    longest: 4,
    range: 25,
    effort: 9,
    weight: 2,
    ..RandomCase::PLAIN
};

#[test]
fn chains_and_loops_are_solved_as_a_plain_program_solves_them() {
    compare_many(301, crate::cases(40, 400) as usize, (7, 6), KIND);
}

#[test]
fn so_they_are_where_layers_are_large() {
    compare_many(302, crate::cases(4, 40) as usize, (2, 22), KIND);
}

#[test]
fn so_they_are_where_much_is_equal() {
    let kind = RandomCase {
        longest: 2,
        range: 5,
        effort: 1,
        ..KIND
    };
    compare_many(303, crate::cases(30, 300) as usize, (7, 8), kind);
}

#[test]
fn so_they_are_where_rules_and_boundaries_hold() {
    let kind = RandomCase {
        ruled: true,
        bounded: true,
        longest: 3,
        ..KIND
    };
    compare_many(304, crate::cases(40, 400) as usize, (6, 7), kind);
    compare_many(305, crate::cases(3, 30) as usize, (2, 24), kind);
}

#[test]
fn so_they_are_where_values_lie_far_apart_and_weigh_nothing_or_much() {
    let far = RandomCase {
        longest: 3,
        range: 9000,
        effort: 70_000,
        weight: 5,
        ..KIND
    };
    compare_many(306, crate::cases(20, 200) as usize, (5, 7), far);
    let near = RandomCase {
        longest: 6,
        range: 40,
        effort: 300,
        weight: 0,
        ..KIND
    };
    compare_many(307, crate::cases(6, 60) as usize, (4, 12), near);
}
