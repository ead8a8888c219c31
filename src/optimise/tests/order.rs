//! The order of elimination, against its definition.

use super::oracle::{Case, Dice, RandomCase, straight, value};
use crate::optimise::elimination_order::budget::Budget;
use crate::optimise::factor_graph::edge::Edge;
use crate::optimise::factor_graph::value::Value;
use crate::optimise::minimum::rows::Rows;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

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

/// What the tables of the promised order cost, by the definition of a [`Budget`]: for each variable the values
/// of its neighbours multiplied are the cells, and with its own values they are the work. Where the table is
/// handed on over a step that nothing else joined there mentions, only pairs that may meet are looked at. A
/// table over one variable or none is no larger than the model, so it is free where weights don't count.
fn price(case: &Case, weights: u64) -> Budget {
    let (sequence, _) = by_definition(case);
    let size = |at: usize| case.values[at].len() as u64;
    let steps = step_pairs(case);
    let straight = case.edges.len() + 1 == case.values.len()
        && (1..)
            .zip(&case.edges)
            .all(|(to, edge)| (edge.from, edge.to) == (to - 1, to));
    let choice = |at: usize| straight || size(at) > 1;
    let mut near = vec![BTreeSet::new(); case.values.len()];
    for &(a, b) in steps.keys().filter(|(a, b)| choice(*a) && choice(*b)) {
        near[a].insert(b);
    }
    let mut tables: BTreeSet<(usize, usize)> = BTreeSet::new();
    let mut spent = Budget { work: 0, cells: 0 };
    for &variable in &sequence {
        let variable = variable as usize;
        let neighbours = std::mem::take(&mut near[variable]);
        for &at in &neighbours {
            near[at].remove(&variable);
            near[at].extend(neighbours.iter().filter(|&&other| other != at));
        }
        let product = |but: Option<usize>| -> u64 {
            let others = neighbours.iter().filter(|at| Some(**at) != but);
            others.map(|at| size(*at)).product()
        };
        let alone = |at: &&usize| {
            steps.contains_key(&(variable, **at)) && !tables.contains(&(variable, **at))
        };
        let onward = neighbours.iter().rfind(alone).copied();
        let pairs = match onward {
            Some(to) => product(onward) * steps[&(variable, to)],
            None => product(None) * size(variable),
        };
        let first = straight && variable == 0;
        if neighbours.len() > 1 || weights > 1 && !first {
            spent.cells += weights * product(None);
            spent.work += weights * pairs;
        }
        let pairs = neighbours
            .iter()
            .flat_map(|a| neighbours.iter().map(move |b| (*a, *b)));
        tables.extend(pairs.filter(|(a, b)| a != b));
    }
    spent
}

/// How many pairs of values may meet between two variables that a step joins, from either side.
fn step_pairs(case: &Case) -> BTreeMap<(usize, usize), u64> {
    let mut pairs = BTreeMap::new();
    for edge in case.edges.iter().filter(|edge| edge.from != edge.to) {
        let meets = |a: &&_| -> usize {
            let a: &Value = a;
            let to = case.values[edge.to].iter();
            to.filter(|b| !edge.bounded || a.out == b.into).count()
        };
        let count: usize = case.values[edge.from].iter().map(|a| meets(&a)).sum();
        for ends in [(edge.from, edge.to), (edge.to, edge.from)] {
            let known = pairs.entry(ends).or_insert(u64::MAX);
            *known = (*known).min(count as u64);
        }
    }
    pairs
}

/// A budget of exactly what the tables cost is enough; with one cell or one sum less the promised order can't
/// be paid.
#[test]
fn an_order_costs_what_its_tables_cost() {
    let mut dice = Dice::new(62);
    let mut dear = 0;
    for round in 0..900 {
        let kind = RandomCase {
            bounded: round % 2 == 0,
            ..RandomCase::PLAIN
        };
        let variables = 1 + dice.roll(24);
        let mut case = Case::random(&mut dice, kind, variables);
        let weights = [1, 1, 3][round % 3];
        // A straight page with weights pays for variables without a choice too, or goes the long way round.
        if weights > 1 || dice.one_in(2) {
            let values = case.values.iter_mut().filter(|values| values.len() == 1);
            values.for_each(|values| values.push(values[0].clone()));
        }
        let model = case.model();
        let price = price(&case, weights as u64);
        let promised = by_definition(&case).0;
        let paid = |budget: Budget| {
            let order = model.order(&Rows::all(&model), weights, budget);
            order.is_ok_and(|order| order.sequence == promised)
        };
        assert!(
            paid(price),
            "{price:?} is too little for {weights}: {case:#?}"
        );
        for less in [
            price
                .cells
                .checked_sub(1)
                .map(|cells| Budget { cells, ..price }),
            price
                .work
                .checked_sub(1)
                .map(|work| Budget { work, ..price }),
        ] {
            assert!(
                !less.is_some_and(paid),
                "{less:?} is enough for {weights}: {case:#?}"
            );
        }
        dear += usize::from(price.work > 1000);
    }
    assert!(dear > 10, "{dear}");
}

/// The order where not all can be paid for: a variable that is too dear is left until one of its neighbours is
/// eliminated. Those that are left at the end, with the fewest neighbours of one of them.
fn within(case: &Case, weights: u64, mut left: Budget) -> Result<Vec<u32>, usize> {
    let size = |at: usize| case.values[at].len() as u64;
    let steps = step_pairs(case);
    let mut near = vec![BTreeSet::new(); case.values.len()];
    for &(a, b) in steps.keys().filter(|(a, b)| size(*a) > 1 && size(*b) > 1) {
        near[a].insert(b);
    }
    let mut tables: BTreeSet<(usize, usize)> = BTreeSet::new();
    let mut waiting: BTreeSet<usize> = (0..near.len()).collect();
    let mut gone = BTreeSet::new();
    let mut sequence = Vec::new();
    while let Some(&next) = waiting
        .iter()
        .min_by_key(|&&at| (near[at].len(), Reverse(at)))
    {
        waiting.remove(&next);
        let neighbours = near[next].clone();
        let product = |but: Option<usize>| -> u64 {
            let others = neighbours.iter().filter(|at| Some(**at) != but);
            others.map(|at| size(*at)).product()
        };
        let alone =
            |at: &&usize| steps.contains_key(&(next, **at)) && !tables.contains(&(next, **at));
        let onward = neighbours.iter().rfind(alone).copied();
        let pairs = match onward {
            Some(to) => product(onward) * steps[&(next, to)],
            None => product(None) * size(next),
        };
        if neighbours.len() > 1 || weights > 1 {
            let (cells, work) = (weights * product(None), weights * pairs);
            if cells > left.cells || work > left.work {
                continue;
            }
            left = Budget {
                cells: left.cells - cells,
                work: left.work - work,
            };
        }
        sequence.push(next as u32);
        gone.insert(next);
        for &at in &neighbours {
            near[at].remove(&next);
            near[at].extend(neighbours.iter().filter(|&&other| other != at));
            waiting.insert(at);
        }
        let pairs = neighbours
            .iter()
            .flat_map(|a| neighbours.iter().map(move |b| (*a, *b)));
        tables.extend(pairs.filter(|(a, b)| a != b));
    }
    let rest = (0..near.len()).filter(|at| !gone.contains(at));
    match rest.map(|at| near[at].len()).min() {
        Some(width) => Err(width),
        None => Ok(sequence),
    }
}

#[test]
fn where_not_all_can_be_paid_for_the_order_is_the_one_that_is_promised() {
    let mut dice = Dice::new(63);
    let (mut paid, mut unpaid) = (0, 0);
    for round in 0..1500 {
        let kind = RandomCase {
            bounded: round % 2 == 0,
            ..RandomCase::PLAIN
        };
        let variables = 2 + dice.roll(24);
        let mut case = Case::random(&mut dice, kind, variables);
        let weights = [1, 1, 3][round % 3];
        // Pages that are no single stretch, most of whose variables have a choice.
        case.edges
            .push(Edge::new(variables - 1, dice.roll(variables - 1)));
        let values = case.values.iter_mut().filter(|values| values.len() == 1);
        values.for_each(|values| values.push(values[0].clone()));
        let price = price(&case, weights as u64);
        let part = |dice: &mut Dice, whole: u64| whole * (1 + dice.roll(12) as u64) / 10;
        let budget = Budget {
            work: part(&mut dice, price.work),
            cells: part(&mut dice, price.cells),
        };
        let model = case.model();
        let found = model.order(&Rows::all(&model), weights, budget);
        let found = found.map(|order| order.sequence).map_err(|left| left.width);
        assert_eq!(
            found,
            within(&case, weights as u64, budget),
            "{weights} {budget:?} {case:#?}"
        );
        match found {
            Ok(_) => paid += 1,
            Err(_) => unpaid += 1,
        }
    }
    assert!(paid > 100 && unpaid > 100, "{paid} {unpaid}");
}
