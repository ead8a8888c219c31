//! Graphs against exhaustive search.

use super::exhaustive::{self, Dice, Link, cost_of, ranking};
use super::network::{Folded, Network};
use super::{Budget, Chain, Cost, Graph, GraphStep, Layer, Row, StepRule, Unsolvable, order};

struct Case {
    layers: Vec<Layer>,
    visits: Vec<u64>,
    links: Vec<Link>,
}

impl Case {
    fn random(dice: &mut Dice, slots: usize) -> Case {
        let longest = 1 + dice.roll(4);
        let layers: Vec<Layer> = (0..slots)
            .map(|_| {
                let most = if dice.roll(5) == 0 { 1 } else { 3 };
                dice.layer(most, longest, 8)
            })
            .collect();
        let ruled = dice.roll(3) == 0;
        let links = (0..dice.roll(2 * slots + 2))
            .map(|_| Link {
                from: dice.roll(slots),
                to: dice.roll(slots),
                times: dice.roll(4) as u64,
                rule: if ruled { dice.rule(8) } else { StepRule::FREE },
            })
            .collect();
        let visits = (0..slots).map(|_| dice.roll(4) as u64).collect();
        Case {
            layers,
            visits,
            links,
        }
    }

    fn graph(&self) -> Graph<'_> {
        let steps = self.links.iter().map(|link| GraphStep {
            from: link.from,
            to: link.to,
            times: link.times,
            rule: link.rule,
        });
        Graph::new(&self.layers, 9, self.visits.clone(), steps.collect())
    }

    /// All choices, cheapest first, equals in the order of decision.
    fn ranking(&self) -> Vec<(Cost, Vec<usize>)> {
        let taken: Vec<Link> = self
            .links
            .iter()
            .copied()
            .filter(|link| link.times > 0)
            .collect();
        let mut all = ranking(&self.layers, 9, &self.visits, &taken);
        let decided = self.decided();
        let key = |choice: &[usize]| decided.iter().map(|&slot| choice[slot]).collect::<Vec<_>>();
        all.sort_by_key(|(cost, choice)| (*cost, key(choice)));
        all
    }

    fn decided(&self) -> Vec<usize> {
        let graph = self.graph();
        let network = Network::new(&self.layers, 9, &self.visits, graph.steps()).unwrap();
        let folded = Folded::new(&network, vec![None; self.layers.len()], |_| true);
        let mut slots = order::order(&folded, u64::MAX).unwrap().slots;
        slots.reverse();
        slots
    }

    fn cost_of(&self, choice: &[usize]) -> Option<Cost> {
        let taken: Vec<Link> = self
            .links
            .iter()
            .copied()
            .filter(|link| link.times > 0)
            .collect();
        cost_of(&self.layers, 9, &self.visits, &taken, choice)
    }
}

#[test]
fn plans_prices_and_rankings_equal_exhaustive_search() {
    let mut dice = Dice::new(10);
    let mut without_plan = 0;
    for round in 0..4000 {
        let slots = 1 + dice.roll(6);
        let case = Case::random(&mut dice, slots);
        let ranking = case.ranking();
        let budget = Budget::default();
        let Some((cost, choice)) = ranking.first() else {
            without_plan += 1;
            let error = case.graph().solve(budget).unwrap_err();
            assert!(matches!(
                error,
                Unsolvable::NoPath { .. } | Unsolvable::NoAssignment
            ));
            assert_eq!(case.graph().prices(budget), Err(error));
            assert_eq!(case.graph().best(3, budget), Err(error));
            continue;
        };
        let plan = case.graph().solve(budget).unwrap();
        assert_eq!((&plan.cost, &plan.choice), (cost, choice), "round {round}");
        assert!(plan.optimal && plan.lower_bound == plan.cost);
        let prices = exhaustive::prices(&case.layers, &ranking);
        assert_eq!(case.graph().prices(budget), Ok(prices), "round {round}");
        let count = if round % 20 == 0 { 1000 } else { 12 };
        let best = case.graph().best(count, budget).unwrap().into_iter();
        let best: Vec<_> = best.map(|plan| (plan.cost, plan.choice)).collect();
        assert_eq!(best, ranking[..ranking.len().min(count)], "round {round}");
    }
    assert!((100..1500).contains(&without_plan), "{without_plan}");
}

#[test]
fn a_chain_as_a_graph_gives_the_same_plan() {
    let mut dice = Dice::new(11);
    for round in 0..1500 {
        let slots = 1 + dice.roll(12);
        let looped = round % 2 == 1;
        let layers: Vec<Layer> = (0..slots).map(|_| dice.layer(5, 3, 7)).collect();
        let played: Vec<usize> = (0..slots).collect();
        let rule = if dice.roll(3) == 0 {
            dice.rule(7)
        } else {
            StepRule::FREE
        };
        let chain = Chain::new(&layers, 6).looped(looped).rule_everywhere(rule);
        let graph = Graph::from_walk(&layers, 6, &played, looped).rule_everywhere(rule);
        match (chain.solve(), graph.solve(Budget::default())) {
            (Ok(chain), Ok(graph)) => {
                assert_eq!(chain.cost, graph.cost, "round {round}");
                let choices = layers.iter().all(|layer| layer.len() > 1);
                if !looped || choices {
                    assert_eq!(chain.choice, graph.choice, "round {round}");
                }
            }
            (chain, graph) => assert!(chain.is_err() && graph.is_err(), "round {round}"),
        }
        let prices = (chain.prices(), graph.prices(Budget::default()));
        assert_eq!(prices.0.ok(), prices.1.ok(), "round {round}");
    }
}

#[test]
fn without_budget_the_bounds_still_hold() {
    let mut dice = Dice::new(12);
    let (mut unproved, mut least) = (0, 0);
    for round in 0..3000 {
        let slots = 3 + dice.roll(4);
        let case = Case::random(&mut dice, slots);
        let ranking = case.ranking();
        let budget = Budget {
            cells: dice.roll(12) as u64,
        };
        match (case.graph().solve(budget), ranking.first()) {
            (Ok(plan), Some((cost, _))) => {
                assert!(
                    plan.lower_bound <= *cost && *cost <= plan.cost,
                    "round {round}"
                );
                assert_eq!(case.cost_of(&plan.choice), Some(plan.cost), "round {round}");
                assert!(!plan.optimal || plan.cost == *cost, "round {round}");
                unproved += usize::from(!plan.optimal);
                least += usize::from(!plan.optimal && plan.cost == *cost);
            }
            (Err(error), Some(_)) => assert_eq!(error, Unsolvable::NoneFound, "round {round}"),
            (plan, None) => assert!(plan.is_err(), "round {round}"),
        }
    }
    // The fallback is really exercised, and usually finds the least cost.
    assert!(
        unproved > 100 && least * 10 > unproved * 8,
        "{least} of {unproved}"
    );
}

#[test]
fn a_dense_graph_is_not_claimed_to_be_solved() {
    let mut dice = Dice::new(13);
    let layers: Vec<Layer> = (0..60)
        .map(|_| (0..16).map(|_| dice.row(4, 24)).collect())
        .collect();
    let played: Vec<usize> = (0..600).map(|_| dice.roll(60)).collect();
    let graph = Graph::from_walk(&layers, 24, &played, false);
    let plan = graph.solve(Budget { cells: 1 << 14 }).unwrap();
    assert!(!plan.optimal && plan.lower_bound < plan.cost && plan.width > 3);
    let entangled = graph.prices(Budget { cells: 1 << 14 }).unwrap_err();
    assert_eq!(entangled, Unsolvable::TooEntangled { width: plan.width });
}

#[test]
fn slots_that_do_not_exist_are_reported() {
    let layers = [Layer::new(vec![Row::new(vec![1]).unwrap()])];
    let graph = Graph::from_walk(&layers, 0, &[0, 1], false);
    assert_eq!(
        graph.solve(Budget::default()),
        Err(Unsolvable::NoSuchLayer { layer: 1 })
    );
    let empty = Graph::from_walk(&[], 0, &[], true);
    assert_eq!(
        empty.solve(Budget::default()).map(|plan| plan.choice),
        Ok(vec![])
    );
}
