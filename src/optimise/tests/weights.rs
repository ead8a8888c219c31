//! The best plans by weight, the lightest plan, and bounds, against exhaustive search.

use super::oracle::{Case, Dice, RandomCase, value};
use crate::optimise::elimination_order::budget::Budget;
use crate::optimise::factor_graph::cost::Cost;
use crate::optimise::factor_graph::edge::Edge;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::unsolvable::Unsolvable;
use crate::optimise::factor_graph::value::Value;

#[test]
fn the_best_of_every_weight_is_the_best_of_exhaustive_search() {
    let mut dice = Dice::new(41);
    let (mut found, mut none) = (0, 0);
    for round in 0..4000 {
        let kind = RandomCase {
            weight: 1 + dice.roll(3),
            bounded: round % 3 == 0,
            ruled: round % 5 == 0,
            longest: 3,
            range: [3, 8][dice.roll(2)],
            ..RandomCase::PLAIN
        };
        let (variables, most) = (1 + dice.roll(6), dice.roll(8));
        let case = Case::random(&mut dice, kind, variables);
        let by_weight = case
            .model()
            .best_by_weight(most, Budget::default())
            .unwrap();
        assert!(by_weight.proved());
        let expected = best_by_weight(&case, most);
        for (weight, plan) in by_weight.plans().iter().enumerate() {
            let cost = plan.as_ref().map(|plan| plan.cost);
            assert_eq!(
                cost, expected[weight],
                "round {round}, weight {weight}: {case:#?}"
            );
            if let Some(plan) = plan {
                assert_eq!(
                    (case.weight(&plan.choice), case.cost(&plan.choice)),
                    (weight, cost)
                );
            }
            *(if cost.is_some() {
                &mut found
            } else {
                &mut none
            }) += 1;
        }
        let missing = expected.iter().skip(by_weight.plans().len());
        assert!(missing.flatten().next().is_none());
        grouped(&case, &expected);
    }
    // Both kinds of answer were really tried.
    assert!(found > 5000 && none > 2000, "{found} {none}");
}

/// The weights in three groups, one of them empty.
fn grouped(case: &Case, expected: &[Option<Cost>]) {
    let of = |odd: usize| (odd..expected.len()).step_by(2).collect::<Vec<_>>();
    let groups = [of(0), Vec::new(), of(1)];
    let budget = Budget::default();
    let found = case.model().best_of_weights(&groups, budget).unwrap();
    for ((group, plan), bound) in groups.iter().zip(found.plans()).zip(found.bounds()) {
        let least = group.iter().filter_map(|&weight| expected[weight]).min();
        assert_eq!(plan.as_ref().map(|plan| plan.cost), least, "{case:#?}");
        assert_eq!(*bound, least);
        let weighs = |choice: &Vec<usize>| group.contains(&case.weight(choice));
        assert!(plan.iter().all(|plan| weighs(&plan.choice)));
    }
}

fn best_by_weight(case: &Case, most: usize) -> Vec<Option<Cost>> {
    let mut best = vec![None; most + 1];
    for (cost, choice) in case.ranking(&[]) {
        if let Some(best) = best.get_mut(case.weight(&choice)) {
            *best = Some(best.map_or(cost, |known: Cost| known.min(cost)));
        }
    }
    best
}

#[test]
fn the_lightest_is_the_lightest_of_exhaustive_search() {
    let mut dice = Dice::new(43);
    let mut weights = [0; 20];
    for round in 0..1500 {
        let kind = RandomCase {
            weight: 3,
            longest: 3,
            range: 8,
            ..RandomCase::PLAIN
        };
        let variables = 4 + dice.roll(3);
        let case = Case::random(&mut dice, kind, variables);
        let effort = dice.roll(40) as u64;
        let found = case
            .model()
            .lightest_within(effort, Budget::default())
            .unwrap();
        let expected = best_by_weight(&case, 19).into_iter().enumerate();
        let expected = expected
            .filter_map(|(weight, cost)| Some((weight, cost?)))
            .find(|(_, cost)| cost.effort <= effort);
        if let Some(found) = &found {
            assert_eq!(found.at_least, found.weight, "round {round}");
            weights[found.weight] += 1;
        }
        let got = found.map(|found| (found.weight, found.plan.cost));
        assert_eq!(got, expected, "round {round}: {case:#?}");
    }
    // Small and large answers occurred, those beyond the first step too.
    assert!(
        weights[0] > 200 && weights[2] > 50 && weights[8..].iter().sum::<usize>() > 3,
        "{weights:?}"
    );
}

/// Too small a budget: nothing is claimed that isn't so.
#[test]
fn without_budget_the_bounds_still_hold() {
    let mut dice = Dice::new(45);
    let (mut unproved, mut met) = (0, 0);
    for round in 0..3000 {
        let kind = RandomCase {
            weight: 2,
            bounded: round % 4 == 0,
            ruled: round % 6 == 0,
            longest: 3,
            ..RandomCase::PLAIN
        };
        let variables = 4 + dice.roll(3);
        let case = Case::random(&mut dice, kind, variables);
        let model = case.model();
        let budget = Budget {
            work: dice.roll(50) as u64,
            ..Budget::default()
        };
        let ranking = case.ranking(&[]);
        match (model.solve(budget), ranking.first()) {
            (Ok(plan), Some((least, _))) => {
                assert!(
                    plan.lower_bound <= *least && *least <= plan.cost,
                    "round {round}"
                );
                assert_eq!(case.cost(&plan.choice), Some(plan.cost));
                assert_eq!(plan.optimal, plan.lower_bound == plan.cost);
                unproved += usize::from(!plan.optimal);
                met += usize::from(!plan.optimal && plan.cost == *least);
            }
            (Err(Unsolvable::Impossible), least) => assert_eq!(least, None),
            (Err(error), _) => {
                assert!(matches!(
                    error,
                    Unsolvable::NoneFound | Unsolvable::TooEntangled { .. }
                ));
            }
            (Ok(plan), None) => panic!("{plan:?} is no plan of {case:#?}"),
        }
        let Ok(by_weight) = model.best_by_weight(3, budget) else {
            continue;
        };
        for (weight, (plan, least)) in by_weight
            .plans()
            .iter()
            .zip(best_by_weight(&case, 3))
            .enumerate()
        {
            match (plan, least) {
                (Some(plan), Some(least)) => {
                    assert!(
                        plan.lower_bound <= least && least <= plan.cost,
                        "round {round}"
                    );
                    assert_eq!(case.weight(&plan.choice), weight);
                    assert_eq!(case.cost(&plan.choice), Some(plan.cost));
                }
                (Some(plan), None) => panic!("{plan:?} is no plan of {case:#?}"),
                (None, Some(_)) => assert!(!by_weight.proved(), "round {round}"),
                (None, None) => {}
            }
        }
    }
    assert!(unproved > 60 && met > 40, "{unproved} {met}");
}

/// A change that stretches over two variables is made whole or not at all, unless the edge is unbounded.
#[test]
fn boundary_numbers_hold_a_span_together() {
    let part = |entry: i16, into: u32, out: u32, weight: u32| Value {
        into,
        out,
        weight,
        ..value(&[entry])
    };
    let efforts = |bounded: bool| {
        let values = [
            vec![value(&[0])],
            vec![value(&[9]), part(1, 0, 1, 1)],
            vec![value(&[9]), part(2, 1, 0, 0)],
            vec![value(&[3])],
        ];
        let mut model = Model::new();
        for values in values {
            let domain = model.domain(values);
            model.variable(domain, 1);
        }
        for (from, count) in [(0, 1), (1, 1), (2, 3)] {
            let bounded = bounded || from != 1;
            model.edge(Edge {
                count,
                bounded,
                ..Edge::new(from, from + 1)
            });
        }
        let plans = model.best_by_weight(1, Budget::default()).unwrap();
        [0, 1].map(|weight| plans.plans()[weight].as_ref().map(|plan| plan.cost.effort))
    };
    // Let the first edge hold 0: 0 9 9 3 moves 9 + 0 + 3 x 6, and 0 1 2 3 moves 1 + 1 + 3 x 1.
    assert_eq!(efforts(true), [Some(27), Some(5)]);
    // 0 9 2 3, the end of a change without its beginning: 9 + 7 + 3 x 1.
    assert_eq!(efforts(false), [Some(19), Some(5)]);
}
