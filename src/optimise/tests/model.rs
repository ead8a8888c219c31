//! Cases worked out by hand, and models at the edges of what can be counted.

use super::oracle::{straight, value};
use crate::optimise::elimination_order::budget::Budget;
use crate::optimise::factor_graph::cost::Cost;
use crate::optimise::factor_graph::edge::Edge;
use crate::optimise::factor_graph::model::Model;
use crate::optimise::factor_graph::motion::step;
use crate::optimise::factor_graph::row::Row;
use crate::optimise::factor_graph::rule::StepRule;
use crate::optimise::factor_graph::unsolvable::Unsolvable;
use crate::optimise::factor_graph::value::Value;

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

/// Rows of any length pair: those of a hand and those that are longer than any.
#[test]
fn rows_of_many_entries_are_measured() {
    for count in [1, 2, 15, 16, 17, 40] {
        let row: Vec<i16> = (0..count).collect();
        let sum = (0..count as u32).sum::<u32>();
        let far = (count - 1) as u32;
        for pair in [[&[0][..], &row], [&row, &[0]]] {
            let step = step(pair[0], pair[1]);
            assert_eq!((step.motion, step.largest), (sum, far), "{count}");
        }
        let all = step(&row, &[row.clone(), vec![count]].concat());
        assert_eq!((all.motion, all.largest), (1, 1), "{count}");
    }
}

/// A row is of one entry or more that rise.
#[test]
fn what_does_not_rise_is_no_row() {
    assert!(Row::new(vec![]).is_none());
    assert!(Row::new(vec![5, 5]).is_none() && Row::new(vec![5, 4]).is_none());
    assert!(Row::new(vec![5]).is_some() && Row::new(vec![4, 5]).is_some());
}

/// Where the budget leaves plans unproved, the plans by weight say so.
#[test]
fn plans_by_weight_that_are_not_proved_say_so() {
    let mut model = Model::new();
    for variable in 0..7 {
        let values = (0..4).map(|at| Value {
            weight: u32::from(at % 2 == 1),
            ..value(&[
                (variable * 7 + at * 5) % 11,
                12 + (variable * 3 + at * 4) % 9,
            ])
        });
        let domain = model.domain(values);
        model.variable(domain, 1);
    }
    for from in 0..7 {
        (0..from).for_each(|to| model.edge(Edge::new(to, from)));
    }
    let (mut proved, mut open) = (0, 0);
    for power in 4..24 {
        let budget = Budget {
            work: 1 << power,
            cells: 1 << power,
        };
        let Ok(found) = model.best_by_weight(2, budget) else {
            continue;
        };
        let optimal = found
            .plans()
            .iter()
            .all(|plan| plan.as_ref().is_some_and(|plan| plan.optimal));
        assert_eq!(found.proved(), optimal, "2^{power}");
        (proved, open) = (proved + u32::from(optimal), open + u32::from(!optimal));
    }
    assert!(proved > 0 && open > 0, "{proved} {open}");
}

/// Efforts alone have room for larger sums than whole costs.
#[test]
fn least_efforts_are_counted_below_two_to_the_59() {
    let of = |count| {
        let mut model = straight([vec![value(&[0]), value(&[1])], vec![value(&[1])]]);
        model.edge(Edge {
            count,
            ..Edge::new(0, 1)
        });
        model.least_efforts(Budget::default())
    };
    // The page itself takes the step once more.
    let most = (1 << 59) - 2;
    let efforts = vec![vec![Some(most + 1), Some(0)], vec![Some(0)]];
    assert_eq!(of(most), Ok(efforts));
    assert_eq!(of(most + 1), Err(Unsolvable::TooLarge));
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
