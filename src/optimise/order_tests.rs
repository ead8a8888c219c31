//! The order of elimination, against its definition.

use super::oracle::{Case, Dice, RandomCase, straight, value};
use super::rows::Rows;
use super::{Budget, Edge};
use std::cmp::Reverse;
use std::collections::BTreeSet;

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

/// The order by its definition: a straight page from its last variable to its first; else of all variables that are left the one with the fewest neighbours, the last
/// among equals; then its neighbours become neighbours of each other. Variables with one value have none.
fn by_definition(case: &Case) -> (Vec<u32>, usize) {
    let variables = case.values.len();
    let ends = case.edges.iter().map(|edge| (edge.from, edge.to));
    if ends.eq((1..variables).map(|to| (to - 1, to))) {
        return ((0..variables as u32).rev().collect(), 1);
    }
    let several = |at: usize| case.values[at].len() > 1;
    let mut near = vec![BTreeSet::new(); case.values.len()];
    for edge in &case.edges {
        if edge.from != edge.to && several(edge.from) && several(edge.to) {
            near[edge.from].insert(edge.to);
            near[edge.to].insert(edge.from);
        }
    }
    let mut left: BTreeSet<usize> = (0..near.len()).collect();
    let (mut order, mut width) = (Vec::new(), 0);
    while let Some(&next) = left.iter().min_by_key(|&&at| (near[at].len(), Reverse(at))) {
        left.remove(&next);
        order.push(next as u32);
        let neighbours = std::mem::take(&mut near[next]);
        width = width.max(neighbours.len());
        for &at in &neighbours {
            near[at].remove(&next);
            near[at].extend(neighbours.iter().filter(|&&other| other != at));
        }
    }
    (order, width)
}

/// Long stretches are taken at one go, and come out as they would one by one.
#[test]
fn the_order_is_the_one_that_is_promised() {
    let mut dice = Dice::new(61);
    let mut wide = 0;
    for _ in 0..3000 {
        let variables = 1 + dice.roll(40);
        let mut case = Case::random(&mut dice, RandomCase::PLAIN, variables);
        if dice.one_in(3) {
            let far = dice.roll(variables);
            case.edges.push(Edge::new(far, dice.roll(variables)));
        }
        if dice.one_in(2) {
            // Few variables without a choice, so that stretches are long.
            let values = case.values.iter_mut().filter(|values| values.len() == 1);
            values.for_each(|values| values.push(values[0].clone()));
        }
        let model = case.model();
        let budget = Budget {
            work: u64::MAX,
            cells: u64::MAX,
        };
        let Ok(order) = model.order(&Rows::all(&model), 1, budget) else {
            continue;
        };
        assert_eq!(
            (order.sequence, order.width),
            by_definition(&case),
            "{case:#?}"
        );
        wide += usize::from(order.width > 2);
    }
    assert!(wide > 100, "{wide}");
}
