//! The engine against exhaustive search, and cases worked out by hand.

use super::oracle::{Case, Dice, Kind};
use super::rows::Rows;
use super::{Budget, Cost, Edge, Model, Row, StepRule, Unsolvable, Value, step};

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

fn compare_many(seed: u64, rounds: usize, kind: Kind) -> usize {
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
    assert_eq!(compare_many(11, 2500, Kind::PLAIN), 0);
}

#[test]
fn so_they_do_where_much_is_equal() {
    let kind = Kind {
        longest: 2,
        range: 4,
        effort: 1,
        ..Kind::PLAIN
    };
    assert_eq!(compare_many(12, 2500, kind), 0);
}

#[test]
fn so_they_do_where_pairs_are_forbidden() {
    let kind = Kind {
        ruled: true,
        longest: 3,
        range: 8,
        ..Kind::PLAIN
    };
    let impossible = compare_many(13, 2500, kind);
    assert!((100..1500).contains(&impossible), "{impossible}");
    let kind = Kind {
        bounded: true,
        longest: 3,
        ..Kind::PLAIN
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
    ] {
        let kind = Kind {
            longest,
            range,
            effort,
            ..Kind::PLAIN
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

/// So many values of one length.
fn alike(dice: &mut Dice, kind: Kind, length: usize, count: usize) -> Vec<Value> {
    let mut values = Vec::new();
    while values.len() < count {
        let value = kind.value(dice, length);
        if value.row.entries().len() == length {
            values.push(value);
        }
    }
    values
}

#[test]
fn the_best_of_every_weight_is_the_best_of_exhaustive_search() {
    let mut dice = Dice::new(41);
    let (mut found, mut none) = (0, 0);
    for round in 0..4000 {
        let kind = Kind {
            weight: 1 + dice.roll(3),
            bounded: round % 3 == 0,
            ruled: round % 5 == 0,
            longest: 3,
            range: [3, 8][dice.roll(2)],
            ..Kind::PLAIN
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
    }
    // Both kinds of answer were really tried.
    assert!(found > 5000 && none > 2000, "{found} {none}");
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
        let kind = Kind {
            weight: 3,
            longest: 3,
            range: 8,
            ..Kind::PLAIN
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
        let kind = Kind {
            weight: 2,
            bounded: round % 4 == 0,
            ruled: round % 6 == 0,
            longest: 3,
            ..Kind::PLAIN
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

fn value(entries: &[i16]) -> Value {
    Value::new(Row::new(entries.to_vec()).unwrap())
}

/// A straight page of these values.
fn straight(values: impl IntoIterator<Item = Vec<Value>>) -> Model {
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

/// Too many plans to try one by one: a general shortest-path search decides.
#[test]
fn long_chains_of_mixed_rows_equal_dijkstra() {
    let mut dice = Dice::new(5);
    for _ in 0..8 {
        let kind = Kind {
            longest: 2 + dice.roll(5),
            range: 12 + dice.roll(60),
            effort: 9,
            ..Kind::PLAIN
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

/// The plans of single candidates, of the extremes of the entries, and of nothing.
#[test]
fn extremes_do_not_overflow() {
    let mut model = Model::new();
    for values in [
        vec![value(&[i16::MIN])],
        vec![Value {
            effort: u32::MAX,
            off_centre: u32::MAX,
            ..value(&[i16::MAX - 1, i16::MAX])
        }],
    ] {
        let domain = model.domain(values);
        model.variable(domain, 1);
    }
    model.edge(Edge {
        count: 2,
        ..Edge::new(0, 1)
    });
    let cost = model.solve(Budget::default()).map(|plan| plan.cost);
    let effort = 2 * (65_534 + 65_535) + u64::from(u32::MAX);
    let expected = Cost {
        effort,
        largest: 2 * 65_535,
        off_centre: u32::MAX.into(),
    };
    match cost {
        Ok(cost) => assert_eq!(cost, expected),
        Err(error) => assert_eq!(error, Unsolvable::TooLarge),
    }
    let nothing = Model::new().solve(Budget::default()).unwrap();
    assert!(nothing.choice.is_empty() && nothing.optimal);
}

#[test]
fn errors_say_why() {
    let one = || vec![value(&[0]), value(&[1])];
    let budget = Budget::default();
    let model = straight([one(), vec![]]);
    assert_eq!(
        model.solve(budget),
        Err(Unsolvable::NoValues { variable: 1 })
    );
    let mut model = straight([one()]);
    model.edge(Edge::new(0, 1));
    assert_eq!(model.solve(budget), Err(Unsolvable::Unknown { number: 1 }));
    let mut model = straight([one(), one()]);
    model.edge(Edge {
        count: u64::MAX,
        ..Edge::new(0, 1)
    });
    assert_eq!(model.solve(budget), Err(Unsolvable::TooLarge));
    let mut model = straight([one(), one()]);
    model.edge(Edge {
        count: u64::MAX / 2,
        ..Edge::new(0, 1)
    });
    assert_eq!(model.solve(budget), Err(Unsolvable::TooLarge));
    let far = StepRule {
        max_entry_step: Some(3),
        max_top_step: None,
    };
    let mut model = straight([one(), vec![value(&[9])]]);
    model.edge(Edge {
        rule: far,
        ..Edge::new(1, 0)
    });
    assert_eq!(model.solve(budget), Err(Unsolvable::Impossible));
}

/// Memory in proportion, and no recursion that a long page could break.
#[test]
fn a_long_page_and_a_long_loop_are_solved() {
    for looped in [false, true] {
        let page = (0..20_000).map(|at| {
            let changed = Value {
                weight: u32::from(at % 9 == 0),
                ..value(&[5])
            };
            vec![value(&[(at * 7 % 12) as i16]), changed]
        });
        let mut model = straight(page);
        if looped {
            model.edge(Edge::new(19_999, 0));
        }
        assert!(model.solve(Budget::default()).unwrap().optimal);
        let plans = model.best_by_weight(1, Budget::default()).unwrap();
        assert!(plans.proved());
        let one = plans.plans()[1].as_ref().unwrap();
        assert_eq!(model.weight(&one.choice), 1);
    }
}

/// The sums of a whole page may leave a key, as long as what a few variables can change fits.
#[test]
fn sums_beyond_a_key_are_counted_from_the_least() {
    let mut model = Model::new();
    let dear = |effort| Value {
        effort,
        ..value(&[3])
    };
    for variable in 0..2000 {
        let domain = model.domain([dear(u32::MAX), dear(u32::MAX - 1)]);
        model.variable(domain, 1 << 20);
        if variable > 0 {
            model.edge(Edge::new(variable - 1, variable));
        }
    }
    let plan = model.solve(Budget::default()).unwrap();
    assert!(plan.choice.iter().all(|&at| at == 1));
    // More than 2^62: no key could hold it.
    assert_eq!(plan.cost.effort, 2000 * (u64::from(u32::MAX - 1) << 20));
}

/// A run is one piece of work: the whole of a straight page, all but the ends of a loop.
#[test]
fn straight_pages_and_loops_are_single_runs() {
    let pages = |edges: &[(usize, usize)]| {
        let mut model = straight((0..30).map(|at| vec![value(&[at]), value(&[at + 1])]));
        edges
            .iter()
            .for_each(|&(from, to)| model.edge(Edge::new(from, to)));
        let order = model
            .order(&Rows::all(&model), 1, Budget::default())
            .unwrap();
        (order.runs.len(), order.width)
    };
    assert_eq!(pages(&[]), (1, 1));
    let looped = pages(&[(29, 0)]);
    assert!(looped.0 <= 4 && looped.1 == 2, "{looped:?}");
    let repeated = pages(&[(15, 0)]);
    assert!(repeated.0 <= 5 && repeated.1 == 2, "{repeated:?}");
}

/// Values that can be read in print, as plain numbers (C4 = 60). "Computed" marks sums that were worked
/// out here from printed rows.
#[test]
fn check_values_of_the_literature() {
    // C to F major 3, C major to F minor 2: Tymoczko, SMT-talk, 2009.
    assert_eq!(step(&[60, 64, 67], &[60, 65, 69]).motion, 3);
    assert_eq!(step(&[60, 64, 67], &[60, 65, 68]).motion, 2);
    // (C,C,E,G) to (B,D,F,G), with the pairing of Tymoczko, Science 313, 2006; the sum 1 + 2 + 1 + 0 is
    // computed.
    assert_eq!(step(&[60, 60, 64, 67], &[59, 62, 65, 67]).motion, 4);
    // Rootless shapes of a descending progression by fifths: computed.
    let (two, five, one) = ([53, 57, 60, 64], [53, 57, 59, 64], [52, 55, 59, 62]);
    assert_eq!((step(&two, &five).motion, step(&five, &one).motion), (1, 5));
    let (two, five, one) = ([60, 64, 65, 69], [59, 64, 65, 69], [59, 62, 64, 67]);
    assert_eq!((step(&two, &five).motion, step(&five, &one).motion), (1, 5));
    // The same in root position, to show the contrast: computed.
    let (two, five, one) = ([50, 53, 57, 60], [55, 59, 62, 65], [48, 52, 55, 59]);
    assert_eq!(
        (step(&two, &five).motion, step(&five, &one).motion),
        (21, 27)
    );
}

#[test]
fn with_a_toll_the_least_effort_tells_the_weight_apart() {
    let weighty = |entries: &[i16], weight| Value {
        weight,
        ..value(entries)
    };
    let model = straight([
        vec![value(&[0])],
        vec![weighty(&[10], 0), weighty(&[2], 1)],
        vec![weighty(&[11], 0), weighty(&[1], 1)],
    ]);
    let efforts = model.with_toll(100).least_efforts(Budget::default());
    // 0 10 11 moves 11; 0 2 11 moves 11 and weighs 1, and so on.
    let expected = [vec![11], vec![11, 111], vec![11, 119]];
    let expected = expected.map(|efforts| efforts.into_iter().map(Some).collect::<Vec<_>>());
    assert_eq!(efforts.unwrap(), expected);
}
