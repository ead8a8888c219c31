//! The engine against the solvers it takes the place of, on models too large to try every choice.

use super::oracle::{Case, Dice, Kind};
use super::{Budget, Value};
use crate::plan::{self, Chain, Graph, GraphStep, Lattice, Layer, Passage, Point, State};

fn layers(case: &Case) -> Vec<Layer> {
    let rows = |values: &Vec<Value>| values.iter().map(|value| value.row.clone()).collect();
    case.values.iter().map(rows).collect()
}

fn as_new(cost: plan::Cost) -> super::Cost {
    super::Cost {
        effort: cost.motion,
        largest: cost.largest,
        off_centre: cost.off_centre,
    }
}

fn large(dice: &mut Dice, ruled: bool, weight: usize) -> Case {
    let kind = Kind {
        values: 30,
        longest: 5,
        range: 21,
        effort: 0,
        ruled,
        weight,
        ..Kind::PLAIN
    };
    let variables = 2 + dice.roll(30);
    Case::random(dice, kind, variables)
}

#[test]
fn plans_prices_and_rankings_are_those_of_the_graph() {
    let mut dice = Dice::new(91);
    let (mut proved, mut same) = (0, 0);
    for round in 0..600 {
        let mut case = large(&mut dice, round % 4 == 0, 0);
        case.edges.retain(|edge| edge.count > 0);
        let layers = layers(&case);
        let step = |edge: &super::Edge| GraphStep {
            from: edge.from,
            to: edge.to,
            times: edge.count,
            rule: edge.rule,
        };
        let steps = case.edges.iter().map(step).collect();
        let graph = Graph::new(&layers, 21, case.visits.clone(), steps);
        let (old, new) = (plan::Budget::default(), Budget::default());
        let model = case.model();
        match (graph.solve(old), model.solve(new)) {
            (Ok(old), Ok(new)) => {
                if old.optimal && new.optimal {
                    assert_eq!((as_new(old.cost), &old.choice), (new.cost, &new.choice));
                    proved += 1;
                }
                assert!(as_new(old.lower_bound) <= new.cost && new.lower_bound <= as_new(old.cost));
                same += 1;
            }
            (old, new) => assert!(old.is_err() && new.is_err(), "{old:?} {new:?}"),
        }
        if let (Ok(old), Ok(new)) = (graph.prices(old), model.min_marginals(new)) {
            let old: Vec<Vec<_>> = old
                .into_iter()
                .map(|v| v.into_iter().map(|c| c.map(as_new)).collect())
                .collect();
            assert_eq!(old, new);
        }
        if let (Ok(old), Ok(new)) = (graph.best(15, old), model.k_best(15, new)) {
            let old: Vec<_> = old
                .into_iter()
                .map(|p| (as_new(p.cost), p.choice))
                .collect();
            let new: Vec<_> = new.into_iter().map(|p| (p.cost, p.choice)).collect();
            assert_eq!(old, new);
        }
    }
    assert!(proved > 400 && same > 400, "{proved} {same}");
}

#[test]
fn straight_pages_are_those_of_the_chain() {
    let mut dice = Dice::new(92);
    for round in 0..600 {
        let mut case = large(&mut dice, false, 0);
        let count = case.values.len();
        case.visits = vec![1; count];
        case.edges = (1..count).map(|to| super::Edge::new(to - 1, to)).collect();
        if round % 2 == 0 {
            case.edges.push(super::Edge::new(count - 1, 0));
        }
        let layers = layers(&case);
        let chain = Chain::new(&layers, 21).looped(round % 2 == 0);
        let (old, new) = (
            chain.solve().unwrap(),
            case.model().solve(Budget::default()).unwrap(),
        );
        assert_eq!(as_new(old.cost), new.cost);
        if round % 2 == 1 || layers.iter().all(|layer| layer.len() > 1) {
            assert_eq!(old.choice, new.choice, "round {round}");
        }
    }
}

#[test]
fn weights_are_those_of_the_lattice() {
    let mut dice = Dice::new(93);
    let mut compared = 0;
    for round in 0..200 {
        let case = large(&mut dice, round % 4 == 0, 2);
        let point = |(values, &visits): (&Vec<Value>, &u64)| Point {
            states: values
                .iter()
                .map(|value| State::new(value.row.clone()).weighing(value.weight))
                .collect(),
            visits,
        };
        let points: Vec<Point> = case.values.iter().zip(&case.visits).map(point).collect();
        let passages = case.edges.iter().filter(|edge| edge.from != edge.to);
        let passages = passages.map(|edge| {
            Passage::loose(edge.from, edge.to)
                .taken(edge.count)
                .ruled(edge.rule)
        });
        let old = Lattice::new(&points, 21, passages.collect()).solve(4, plan::Budget::default());
        let new = case.model().best_by_weight(4, Budget::default());
        let (Ok(old), Ok(new)) = (old, new) else {
            continue;
        };
        if old.proved() && new.proved() {
            for (old, new) in old.rungs().iter().zip(new.plans()) {
                let old = old.as_ref().map(|rung| as_new(rung.cost));
                assert_eq!(old, new.as_ref().map(|plan| plan.cost));
                compared += 1;
            }
        }
    }
    assert!(compared > 400, "{compared}");
}
