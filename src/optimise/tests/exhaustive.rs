//! The engine against exhaustive search, and on long chains against a general shortest-path search.

use super::oracle::{Case, Dice, RandomCase, straight};
use crate::optimise::elimination_order::budget::Budget;
use crate::optimise::factor_graph::cost::Cost;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::motion::step;
use crate::optimise::factor_graph::unsolvable::Unsolvable;
use crate::optimise::factor_graph::value::Value;
use crate::optimise::minimum::rows::Rows;

/// The variables of a model in the order in which they are decided.
fn decided(model: &Model) -> Vec<u32> {
    let order = model
        .order(&Rows::all(model), 1, Budget::default())
        .unwrap();
    order.sequence.into_iter().rev().collect()
}

/// Everything that can be asked of a model, held against trying every choice. Returns whether it has a
/// plan at all.
fn compare(case: &Case, count: usize) -> bool {
    let (model, budget) = (case.model(), Budget::default());
    let ranking = case.ranking(&decided(&model));
    let Some((cost, choice)) = ranking.first() else {
        assert_eq!(
            model.solve(budget),
            Err(Unsolvable::Impossible),
            "{case:#?}"
        );
        assert_eq!(model.min_marginals(budget), Err(Unsolvable::Impossible));
        assert_eq!(model.least_efforts(budget), Err(Unsolvable::Impossible));
        assert_eq!(model.k_best(3, budget), Err(Unsolvable::Impossible));
        return false;
    };
    let plan = model.solve(budget).unwrap();
    assert_eq!((plan.cost, &plan.choice), (*cost, choice), "{case:#?}");
    assert!(plan.optimal && plan.lower_bound == plan.cost);
    assert_eq!(
        model.min_marginals(budget).unwrap(),
        marginals(case, &ranking),
        "{case:#?}"
    );
    let efforts = |costs: Vec<Vec<Option<Cost>>>| -> Vec<Vec<Option<u64>>> {
        let each = costs
            .into_iter()
            .map(|costs| costs.into_iter().map(|cost| Some(cost?.effort)));
        each.map(Iterator::collect).collect()
    };
    let least = efforts(marginals(case, &ranking));
    assert_eq!(model.least_efforts(budget).unwrap(), least, "{case:#?}");
    let best = model.k_best(count, budget).unwrap().into_iter();
    let best: Vec<_> = best.map(|plan| (plan.cost, plan.choice)).collect();
    assert_eq!(best, ranking[..ranking.len().min(count)], "{case:#?}");
    true
}

/// The least cost through every value.
fn marginals(case: &Case, ranking: &[(Cost, Vec<usize>)]) -> Vec<Vec<Option<Cost>>> {
    let least = |variable: usize, at: usize| {
        let through = ranking.iter().find(|(_, choice)| choice[variable] == at);
        through.map(|(cost, _)| *cost)
    };
    let variables = case.values.iter().enumerate();
    let all = variables
        .map(|(variable, values)| (0..values.len()).map(|at| least(variable, at)).collect());
    all.collect()
}

fn compare_many(seed: u64, rounds: usize, kind: RandomCase) -> usize {
    let mut dice = Dice::new(seed);
    let mut impossible = 0;
    for round in 0..rounds {
        let variables = 1 + dice.roll(6);
        let case = Case::random(&mut dice, kind, variables);
        let count = if round % 20 == 0 { 1000 } else { 12 };
        impossible += usize::from(!compare(&case, count));
    }
    impossible
}

#[test]
fn plans_prices_and_rankings_equal_exhaustive_search() {
    assert_eq!(compare_many(11, 2500, RandomCase::PLAIN), 0);
}

#[test]
fn so_they_do_where_much_is_equal() {
    let kind = RandomCase {
        longest: 2,
        range: 4,
        effort: 1,
        ..RandomCase::PLAIN
    };
    assert_eq!(compare_many(12, 2500, kind), 0);
}

/// The largest distances together then take more bits than one of them is measured with.
#[test]
fn so_they_do_where_steps_are_taken_very_often() {
    let mut dice = Dice::new(18);
    for _ in 0..300 {
        let variables = 1 + dice.roll(6);
        let mut case = Case::random(&mut dice, RandomCase::PLAIN, variables);
        let edges = case.edges.iter_mut();
        edges.for_each(|edge| edge.count *= 100_000);
        compare(&case, 12);
    }
}

#[test]
fn so_they_do_where_pairs_are_forbidden() {
    let kind = RandomCase {
        ruled: true,
        longest: 3,
        range: 8,
        ..RandomCase::PLAIN
    };
    let impossible = compare_many(13, 2500, kind);
    assert!((100..1500).contains(&impossible), "{impossible}");
    let kind = RandomCase {
        bounded: true,
        longest: 3,
        ..RandomCase::PLAIN
    };
    let impossible = compare_many(14, 2500, kind);
    assert!((100..1500).contains(&impossible), "{impossible}");
}

/// Layers large enough for lanes, the last block partly filled; rows of one length and of several, few
/// distances and distances that leave a byte.
#[test]
fn so_they_do_where_layers_are_large() {
    let mut dice = Dice::new(15);
    for (longest, range, effort) in [
        (1, 90, 0),
        (4, 25, 300),
        (5, 20, 5),
        (4, 30, 40),
        (2, 6, 1),
        (6, 60, 20),
        (3, 250, 9),
        // So far apart that the sum of all steps is more than lanes hold.
        (3, 12_000, 9),
        (1, 32_000, 3),
    ] {
        let kind = RandomCase {
            longest,
            range,
            effort,
            ..RandomCase::PLAIN
        };
        for round in 0..14 {
            let variables = 2 + dice.roll(2);
            let mut case = Case::random(&mut dice, kind, variables);
            for values in &mut case.values {
                let count = 10 + dice.roll(if variables == 2 { 60 } else { 25 });
                let length = if round % 3 == 0 { 0 } else { longest };
                *values = match length {
                    0 => kind.values(&mut dice, count),
                    _ => alike(&mut dice, kind, longest, count),
                };
            }
            compare(&case, 3);
        }
    }
}

/// The same where boundaries hold in one direction or both: values that show each other no one number don't meet.
#[test]
fn so_they_do_where_large_layers_have_boundaries() {
    let mut dice = Dice::new(21);
    for (longest, range, effort) in [(4, 25, 300), (1, 90, 0), (2, 6, 1)] {
        let kind = RandomCase {
            longest,
            range,
            effort,
            bounded: true,
            ..RandomCase::PLAIN
        };
        for _ in 0..10 {
            let mut case = Case::random(&mut dice, kind, 2);
            for values in &mut case.values {
                let count = 10 + dice.roll(50);
                *values = alike(&mut dice, kind, longest, count);
            }
            compare(&case, 3);
        }
    }
}

/// So many values of one length.
fn alike(dice: &mut Dice, kind: RandomCase, length: usize, count: usize) -> Vec<Value> {
    let mut values = Vec::new();
    while values.len() < count {
        let value = kind.value(dice, length);
        if value.row.entries().len() == length {
            values.push(value);
        }
    }
    values
}

/// Too many plans to try one by one: a general shortest-path search decides.
#[test]
fn long_chains_of_mixed_rows_equal_dijkstra() {
    let mut dice = Dice::new(5);
    for _ in 0..8 {
        let kind = RandomCase {
            longest: 2 + dice.roll(5),
            range: 12 + dice.roll(60),
            effort: 9,
            ..RandomCase::PLAIN
        };
        let values: Vec<Vec<Value>> = (0..40)
            .map(|_| {
                let count = 1 + dice.roll(40);
                kind.values(&mut dice, count)
            })
            .collect();
        let key = |effort: u32, largest: u32, off_centre: u32| {
            u128::from(effort) << 80 | u128::from(largest) << 40 | u128::from(off_centre)
        };
        let successors = |&(layer, index): &(usize, usize)| {
            let from = (layer > 0).then(|| &values[layer - 1][index]);
            let next = values
                .get(layer)
                .map_or(&[][..], Vec::as_slice)
                .iter()
                .enumerate();
            let cost = |to: &Value| {
                let moved = from.map_or_else(Default::default, |from| {
                    step(from.row.entries(), to.row.entries())
                });
                key(moved.motion + to.effort, moved.largest, to.off_centre)
            };
            next.map(|(to, value)| ((layer + 1, to), cost(value)))
                .collect::<Vec<_>>()
        };
        let found = pathfinding::prelude::dijkstra(&(0, 0), successors, |node| node.0 == 40);
        let plan = straight(values.iter().cloned())
            .solve(Budget::default())
            .unwrap()
            .cost;
        let plan = u128::from(plan.effort) << 80
            | u128::from(plan.largest) << 40
            | u128::from(plan.off_centre);
        assert_eq!(Some(plan), found.map(|(_, cost)| cost));
    }
}
