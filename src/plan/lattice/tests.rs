//! Lattices against exhaustive search, and cases worked out by hand.

use super::exact::Problem;
use super::oracle::{CENTRE, Case};
use super::tables::Tree;
use super::{Labels, Ladder, Lattice, Passage, Point, State};
use crate::plan::exhaustive::Dice;
use crate::plan::{Budget, Cost, Graph, GraphStep, Layer, Row, StepRule, Unsolvable, order};

impl Case {
    fn lattice(&self) -> Lattice<'_> {
        Lattice::new(&self.points, CENTRE, self.passages.clone())
    }

    fn solve(&self, most: usize) -> Ladder {
        self.lattice().solve(most, Budget::default()).unwrap()
    }
}

fn state(entries: &[i16]) -> State {
    State::new(Row::new(entries.to_vec()).unwrap())
}

fn point(states: Vec<State>) -> Point {
    Point { states, visits: 1 }
}

fn straight(count: usize) -> Vec<Passage> {
    (1..count).map(|to| Passage::loose(to - 1, to)).collect()
}

#[test]
fn every_rung_is_the_first_of_the_cheapest_choices() {
    let mut dice = Dice::new(41);
    let (mut found, mut none) = (0, 0);
    for round in 0..6000 {
        let count = 1 + dice.roll(6);
        let case = Case::random(&mut dice, count);
        let most = dice.roll(8);
        let ladder = case.solve(most);
        let expected = case.exhaustive(most);
        assert!(ladder.proved());
        for (weight, expected) in expected.iter().enumerate() {
            let rung = ladder.exactly(weight);
            let got = rung.map(|rung| (rung.cost, rung.choice.clone()));
            assert_eq!(got, *expected, "round {round}, weight {weight}: {case:#?}");
            assert!(rung.is_none_or(|rung| rung.optimal && rung.lower_bound == rung.cost));
            assert!(rung.is_none_or(|rung| rung.weight == weight));
            *(if got.is_some() { &mut found } else { &mut none }) += 1;
        }
    }
    // Both kinds of answer were really tried.
    assert!(found > 8000 && none > 3000, "{found} {none}");
}

#[test]
fn more_to_spend_is_never_dearer() {
    let mut dice = Dice::new(42);
    let mut cheaper = 0;
    for _ in 0..2000 {
        let count = 2 + dice.roll(5);
        let case = Case::random(&mut dice, count);
        let (ladder, expected) = (case.solve(7), case.exhaustive(7));
        let mut before: Option<Cost> = None;
        for weight in 0..=7 {
            let rungs = expected[..=weight].iter().enumerate();
            let rungs = rungs.filter_map(|(weight, rung)| Some((rung.as_ref()?.0, weight)));
            let best = ladder.at_most(weight);
            let got = best.as_ref().map(|rung| (rung.cost, rung.weight));
            assert_eq!(got, rungs.min());
            let cost = best.map(|rung| rung.cost);
            assert!(before.is_none_or(|before| cost.is_some_and(|cost| cost <= before)));
            cheaper += usize::from(before.is_some() && cost < before);
            before = cost;
        }
    }
    assert!(cheaper > 500, "{cheaper}");
}

#[test]
fn the_fewest_changes_are_those_of_exhaustive_search() {
    let mut dice = Dice::new(43);
    let mut weights = [0; 12];
    for round in 0..1500 {
        let count = 4 + dice.roll(4);
        let case = Case::random(&mut dice, count);
        let motion = dice.roll(30) as u64;
        let fewest = case.lattice().fewest_within(motion, Budget::default());
        let fewest = fewest.unwrap();
        let expected = case.exhaustive(21).into_iter().enumerate();
        let expected = expected
            .filter_map(|(weight, found)| Some((weight, found?)))
            .find(|(_, (cost, _))| cost.motion <= motion);
        if let Some(fewest) = &fewest {
            assert_eq!(fewest.at_least, fewest.solution.weight, "round {round}");
            weights[fewest.solution.weight] += 1;
        }
        let got = fewest.map(|fewest| {
            let solution = fewest.solution;
            (solution.weight, (solution.cost, solution.choice))
        });
        assert_eq!(got, expected, "round {round}: {case:#?}");
    }
    // Small and large answers occurred, those beyond the first step too.
    assert!(weights[0] > 200 && weights[1] > 50, "{weights:?}");
}

#[test]
fn the_fewest_changes_are_found_beyond_the_first_step() {
    // Entries alternate between 0 and 9; every entry may be changed to 4.
    // Each change in the middle takes the place of a way of 9 + 9 by 4 + 4 or 5 + 5.
    let points: Vec<Point> = (0..40)
        .map(|index| {
            let present = if index % 2 == 0 { 0 } else { 9 };
            point(vec![state(&[present]), state(&[4]).weighing(1)])
        })
        .collect();
    let lattice = Lattice::new(&points, 8, straight(40));
    let none = lattice.fewest_within(39 * 9, Budget::default()).unwrap();
    assert_eq!(none.unwrap().solution.weight, 0);
    // An entry 9 made a 4 saves 10, wherever it stands between two zeros.
    let twenty = lattice.fewest_within(39 * 9 - 190, Budget::default());
    let twenty = twenty.unwrap().unwrap();
    assert_eq!((twenty.solution.weight, twenty.at_least), (19, 19));
    assert_eq!(twenty.solution.cost.motion, 39 * 9 - 190);
    let still = lattice.fewest_within(0, Budget::default()).unwrap();
    assert_eq!(still.unwrap().solution.weight, 40);
}

#[test]
fn what_no_choice_reaches_is_none() {
    let points = [
        point(vec![state(&[0])]),
        point(vec![state(&[5]), state(&[7]).weighing(3)]),
    ];
    let lattice = Lattice::new(&points, 0, straight(2));
    assert_eq!(lattice.fewest_within(4, Budget::default()), Ok(None));
    let ladder = lattice.solve(usize::MAX, Budget::default()).unwrap();
    let motions: Vec<Option<u64>> = ladder
        .rungs()
        .iter()
        .map(|rung| Some(rung.as_ref()?.cost.motion))
        .collect();
    assert_eq!(motions, [Some(5), None, None, Some(7)]);
    assert_eq!(ladder.exactly(4), None);
    assert_eq!(ladder.at_most(2), ladder.exactly(0).cloned());
}

/// A change that stretches over two points is made whole or not at all,
/// unless the passage is loose.
#[test]
fn labels_hold_a_stretch_together() {
    let part = |row: i16, into: u32, out: u32, weight: u32| {
        let labels = |label| Labels::of([label]);
        state(&[row])
            .weighing(weight)
            .joined(1, labels(into), labels(out))
    };
    // Label 0: as written; label 1: inside the change.
    let points = [
        point(vec![state(&[0])]),
        point(vec![part(9, 0, 0, 0), part(1, 0, 1, 1)]),
        point(vec![part(9, 0, 0, 0), part(2, 1, 0, 0)]),
        point(vec![state(&[3])]),
    ];
    let motions = |middle: Passage| {
        let last = Passage::strict(2, 3).taken(3);
        let passages = vec![Passage::strict(0, 1), middle, last];
        let ladder = Lattice::new(&points, 0, passages).solve(1, Budget::default());
        let rungs = ladder.unwrap();
        [0, 1].map(|weight| rungs.exactly(weight).map(|rung| rung.cost.motion))
    };
    // 0 9 9 3 moves 9 + 0 + 3 x 6, and 0 1 2 3 moves 1 + 1 + 3 x 1.
    assert_eq!(motions(Passage::strict(1, 2)), [Some(27), Some(5)]);
    // 0 9 2 3, the end of a change without its beginning: 9 + 7 + 3 x 1.
    assert_eq!(motions(Passage::loose(1, 2)), [Some(19), Some(5)]);
    // The labels are in channel 1; checking channel 0 checks nothing.
    let other = Passage {
        checks: [true, false],
        ..Passage::strict(1, 2)
    };
    assert_eq!(motions(other), [Some(19), Some(5)]);
    // Taken 0 times a passage costs nothing, but its labels hold.
    assert_eq!(motions(Passage::strict(1, 2).taken(0)), [Some(27), Some(4)]);
    assert_eq!(motions(Passage::loose(1, 2).taken(0)), [Some(12), Some(4)]);
    // And so does its rule: 9 2 is a step of 7.
    let narrow = StepRule {
        max_entry_step: Some(6),
        max_top_step: None,
    };
    let ruled = Passage::loose(1, 2).taken(0).ruled(narrow);
    assert_eq!(motions(ruled), [Some(27), Some(4)]);
}

#[test]
fn a_held_state_does_not_pay_again() {
    let held = |row: i16| state(&[row]).held();
    let points = [point(vec![state(&[7])]), point(vec![state(&[7]), held(7)])];
    let ladder = Lattice::new(&points, 4, straight(2)).solve(0, Budget::default());
    let best = ladder.unwrap().exactly(0).cloned().unwrap();
    assert_eq!(best.choice, [0, 1]);
    // 7 + 7 - 4 = 10, once.
    assert_eq!(best.cost.off_centre, 10);
}

/// Without weights and labels a lattice is a graph.
#[test]
fn without_weights_it_costs_what_the_graph_costs() {
    let mut dice = Dice::new(44);
    for _ in 0..500 {
        let count = 2 + dice.roll(8);
        let mut case = Case::random(&mut dice, count);
        case.passages.iter_mut().for_each(|passage| {
            passage.checks = [false; 2];
            passage.times += 1;
        });
        for state in case.points.iter_mut().flat_map(|point| &mut point.states) {
            (state.fresh, state.weight) = (true, 0);
        }
        let rows = |point: &Point| -> Layer {
            point.states.iter().map(|state| state.row.clone()).collect()
        };
        let layers: Vec<Layer> = case.points.iter().map(rows).collect();
        let visits = case.points.iter().map(|point| point.visits).collect();
        let steps = case.passages.iter().map(|passage| GraphStep {
            from: passage.from,
            to: passage.to,
            times: passage.times,
            rule: passage.rule,
        });
        let graph = Graph::new(&layers, CENTRE, visits, steps.collect());
        let plan = graph.solve(Budget::default()).ok();
        let rung = case.solve(0).exactly(0).map(|rung| rung.cost);
        assert_eq!(rung, plan.map(|plan| plan.cost));
    }
}

/// Too small a budget: nothing is claimed that isn't so.
#[test]
fn without_budget_the_bounds_still_hold() {
    let mut dice = Dice::new(45);
    let (mut unproved, mut met, mut missed) = (0, 0, 0);
    for round in 0..5000 {
        let count = 4 + dice.roll(3);
        let case = Case::random(&mut dice, count);
        let budget = Budget {
            cells: 40 + dice.roll(60) as u64,
        };
        let Ok(ladder) = case.lattice().solve(3, budget) else {
            continue;
        };
        unproved += usize::from(!ladder.proved());
        for (weight, expected) in case.exhaustive(3).into_iter().enumerate() {
            let least = expected.map(|(cost, _)| cost);
            let rung = ladder.exactly(weight);
            let Some(rung) = rung else {
                missed += usize::from(least.is_some());
                assert!(least.is_none() || !ladder.proved(), "round {round}");
                continue;
            };
            let least = least.unwrap();
            assert!(
                rung.lower_bound <= least && least <= rung.cost,
                "round {round}"
            );
            assert_eq!(rung.optimal, rung.lower_bound == rung.cost);
            assert_eq!(case.cost_of(&rung.choice), Some(rung.cost));
            assert_eq!(case.weight_of(&rung.choice), weight);
            met += usize::from(rung.cost == least && !rung.optimal);
            let at_most = ladder.at_most(weight).unwrap();
            let bound = case.exhaustive(weight).into_iter().flatten().min().unwrap();
            assert!(at_most.lower_bound <= bound.0 && bound.0 <= at_most.cost);
        }
        let motion = dice.roll(20) as u64;
        let expected = case.exhaustive(21).into_iter();
        let expected = expected.enumerate().find_map(|(weight, found)| {
            found
                .filter(|(cost, _)| cost.motion <= motion)
                .map(|_| weight)
        });
        match case.lattice().fewest_within(motion, budget) {
            Ok(None) => assert_eq!(expected, None),
            Ok(Some(fewest)) => {
                let expected = expected.unwrap();
                assert!(fewest.at_least <= expected && expected <= fewest.solution.weight);
                assert!(fewest.solution.cost.motion <= motion);
            }
            Err(error) => assert!(matches!(
                error,
                Unsolvable::NoneFound | Unsolvable::OverBudget { .. }
            )),
        }
    }
    assert!(unproved > 200 && met > 300, "{unproved} {met} {missed}");
}

/// Two states a point, two counts: in proportion to the length, and no
/// recursion that a long page could break.
#[test]
fn a_long_page_takes_memory_in_proportion() {
    let page = |count: usize, looped: bool| {
        let points: Vec<Point> = (0..count)
            .map(|index| {
                let entry = (index * 7 % 12) as i16;
                point(vec![
                    state(&[entry]),
                    state(&[5]).weighing(u32::from(index % 9 == 0)),
                ])
            })
            .collect();
        let mut passages = straight(count);
        passages.extend(looped.then(|| Passage::loose(count - 1, 0)));
        (points, passages)
    };
    let costs = |count: usize| {
        let (points, passages) = page(count, false);
        let problem = Problem {
            points: &points,
            passages: &passages,
            centre: 9,
            most: 1,
            cells: 1 << 20,
            costs: u64::MAX,
        };
        let net = problem.net().unwrap();
        let order = order::order_web(net.web(&vec![true; passages.len()]), 1 << 20);
        Tree::new(&net, order.unwrap(), 1).costs(&net)
    };
    assert!(costs(20_000).abs_diff(10 * costs(2_000)) < 50);
    for looped in [false, true] {
        let (points, passages) = page(20_000, looped);
        let ladder = Lattice::new(&points, 9, passages).solve(1, Budget::default());
        let ladder = ladder.unwrap();
        assert_eq!(ladder.width(), if looped { 2 } else { 1 });
        let (none, one) = (ladder.exactly(0).unwrap(), ladder.exactly(1).unwrap());
        assert!(none.optimal && one.optimal && one.cost != none.cost);
        let changed = |(point, state): (usize, &usize)| point % 9 == 0 && *state == 1;
        assert_eq!(
            one.choice
                .iter()
                .enumerate()
                .filter(|at| changed(*at))
                .count(),
            1
        );
    }
}

#[test]
fn errors_say_why() {
    let points = [point(vec![state(&[0]), state(&[1])]), point(vec![])];
    let solve = |points: &[Point], passages: Vec<Passage>| {
        Lattice::new(points, 0, passages).solve(0, Budget::default())
    };
    assert_eq!(
        solve(&points, vec![]),
        Err(Unsolvable::EmptyLayer { layer: 1 })
    );
    assert_eq!(
        solve(&points[..1], straight(2)),
        Err(Unsolvable::NoSuchLayer { layer: 1 })
    );
    let endless = Passage::loose(0, 1).taken(u64::MAX);
    let two = [points[0].clone(), points[0].clone()];
    assert_eq!(
        solve(&two, vec![endless, endless]),
        Err(Unsolvable::TooLarge)
    );
    let heavy = [point(vec![state(&[0]).weighing(u32::MAX)])];
    let heavy = Lattice::new(&heavy, 0, vec![]).solve(usize::MAX, Budget::default());
    assert!(matches!(heavy, Err(Unsolvable::OverBudget { .. })));
    let nothing = solve(&[], vec![]).unwrap();
    assert_eq!(
        nothing.exactly(0).map(|rung| rung.cost),
        Some(Cost::default())
    );
}
